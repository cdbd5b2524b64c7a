// SPDX-License-Identifier: Apache-2.0
// Which screen an address names.
import { SettingsPage } from '../features/settings/settings_page';
import { UsersPage } from '../features/settings/users_page';
import { TodayPage } from '../features/today/today_page';
import { t } from '../text';
import { Notice } from '../ui/notice';
import type { Route } from './route';

export function Screen({ route }: { route: Route }) {
  const [place = ''] = route.parts;
  switch (place) {
    case '':
      return <TodayPage />;
    case 'settings':
      return <SettingsPage />;
    case 'users':
      return <UsersPage />;
    default:
      break;
  }
  return <Notice title={t.unknownScreen} />;
}
