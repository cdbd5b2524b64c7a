// SPDX-License-Identifier: Apache-2.0
// Fields with their label, unit, hint and what is wrong with them, tied together for readers.
import { useId } from 'preact/hooks';

interface FieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  hint?: string;
  wrong?: string | undefined;
  unit?: string;
  type?: 'text' | 'password' | 'search';
  mode?: 'text' | 'decimal' | 'numeric';
  name?: string;
  autocomplete?: string;
  required?: boolean;
  long?: boolean;
  disabled?: boolean;
  max?: number;
  capitalize?: 'none' | 'sentences' | 'characters';
}

export function Field(props: FieldProps) {
  const id = useId();
  const { hint, wrong, unit } = props;
  const told = [hint === undefined ? '' : `${id}-h`, wrong === undefined ? '' : `${id}-w`].filter(
    (x) => x !== '',
  );
  const common = {
    id,
    name: props.name,
    value: props.value,
    disabled: props.disabled,
    required: props.required,
    maxLength: props.max,
    'aria-invalid': wrong !== undefined,
    'aria-describedby': told.length === 0 ? undefined : told.join(' '),
    onInput: (event: { currentTarget: { value: string } }) => {
      props.onValue(event.currentTarget.value);
    },
  };
  return (
    <div class="field">
      <label for={id}>
        {props.label}
        {unit === undefined ? null : <span class="soft"> ({unit})</span>}
      </label>
      {props.long === true ? (
        <textarea {...common} rows={4} />
      ) : (
        <input
          {...common}
          type={props.type ?? 'text'}
          inputMode={props.mode ?? 'text'}
          autocomplete={props.autocomplete ?? 'off'}
          autocapitalize={props.capitalize ?? 'none'}
          spellcheck={false}
        />
      )}
      {hint === undefined ? null : (
        <p class="hint" id={`${id}-h`}>
          {hint}
        </p>
      )}
      {wrong === undefined ? null : (
        <p class="wrong" id={`${id}-w`}>
          {wrong}
        </p>
      )}
    </div>
  );
}

export function Select<T extends string>(props: {
  label: string;
  value: T;
  options: readonly (readonly [value: T, words: string])[];
  onValue: (value: T) => void;
  disabled?: boolean;
}) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{props.label}</label>
      <select
        id={id}
        value={props.value}
        disabled={props.disabled}
        onChange={(event) => {
          props.onValue(event.currentTarget.value as T);
        }}
      >
        {props.options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}

export function Choice<T extends string>(props: {
  legend: string;
  value: T;
  options: readonly (readonly [value: T, words: string])[];
  onValue: (value: T) => void;
  disabled?: boolean;
}) {
  const name = useId();
  return (
    <fieldset class="choice" disabled={props.disabled}>
      <legend>{props.legend}</legend>
      <div class="options">
        {props.options.map(([value, words]) => (
          <label key={value}>
            <input
              type="radio"
              name={name}
              value={value}
              checked={value === props.value}
              onChange={() => {
                props.onValue(value);
              }}
            />
            {words}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
