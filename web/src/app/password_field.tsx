// SPDX-License-Identifier: Apache-2.0
// A password being made up, with what it must be; what is wrong is said once sending was tried.
import { isPassword } from '../domain/account';
import { t } from '../text';
import { Field } from '../ui/field';

interface NewPasswordFieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  tried: boolean;
}

export function NewPasswordField({ label, value, onValue, tried }: NewPasswordFieldProps) {
  return (
    <Field
      label={label}
      hint={t.setup.passwordHint}
      name="password"
      type="password"
      autocomplete="new-password"
      value={value}
      onValue={onValue}
      wrong={tried && !isPassword(value) ? t.setup.short : undefined}
      required
    />
  );
}
