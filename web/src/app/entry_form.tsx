// SPDX-License-Identifier: Apache-2.0
// The fields of an entry, with unit and what is wrong with each.
import { keyOf, type Typed, type Wrong } from '../domain/entry';
import type { EntryField } from '../domain/entry_fields';
import { massUnit } from '../format/mass';
import { t } from '../text';
import { Field } from '../ui/field';
import { useUnits } from './session';

interface EntryFieldsProps {
  fields: readonly EntryField[];
  typed: Typed;
  wrong: Readonly<Record<string, Wrong>>; // none until the form was tried
  currency: string;
  hints?: Readonly<Record<string, string>>;
  onTyped: (typed: Typed) => void;
}

function labelOf(field: EntryField): string {
  const name = t.write.field[field.name];
  if (field.of === undefined) return name;
  return t.write.fieldOf(name, t.write.lossKind[field.of] ?? field.of);
}

export function EntryFields(props: EntryFieldsProps) {
  const { fields, typed, wrong, currency, hints = {}, onTyped } = props;
  const units = useUnits();
  return (
    <>
      {fields.map((field) => {
        const key = keyOf(field);
        const bad = wrong[key];
        const unit =
          field.shape === 'mass' ? massUnit(units) : field.shape === 'money' ? currency : undefined;
        const isText = field.shape === 'text' || field.shape === 'day';
        return (
          <Field
            key={key}
            label={labelOf(field)}
            {...(unit === undefined ? {} : { unit })}
            {...(hints[key] === undefined ? {} : { hint: hints[key] })}
            {...(field.max === undefined ? {} : { max: field.max })}
            mode={isText ? 'text' : 'decimal'}
            long={(field.max ?? 0) > 200}
            value={typed[key] ?? ''}
            wrong={bad === undefined ? undefined : t.write.wrong[bad]}
            onValue={(value) => {
              onTyped({ ...typed, [key]: value });
            }}
          />
        );
      })}
    </>
  );
}
