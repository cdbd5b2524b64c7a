// SPDX-License-Identifier: Apache-2.0
import { useState } from 'preact/hooks';
import { setTheme, theme } from '../../app/theme';
import { t } from '../../text';
import { Choice } from '../../ui/field';

export function DeviceForm() {
  const [wanted, setWanted] = useState(theme());
  return (
    <Choice
      legend={t.settings.theme}
      value={wanted}
      options={[
        ['system', t.settings.themeSystem],
        ['light', t.settings.themeLight],
        ['dark', t.settings.themeDark],
      ]}
      onValue={(next) => {
        setTheme(next);
        setWanted(next);
      }}
    />
  );
}
