// SPDX-License-Identifier: Apache-2.0
import type { ComponentChildren, JSX } from 'preact';

interface Looks {
  first?: boolean; // the one thing to do here
  fault?: boolean;
  plain?: boolean;
  wide?: boolean;
  big?: boolean;
  children: ComponentChildren;
}

function classOf({ first, fault, plain, wide, big }: Looks): string {
  const on = { first, fault, plain, wide, big };
  const names = Object.entries(on).filter(([, is]) => is === true);
  return ['button', ...names.map(([name]) => name)].join(' ');
}

type ButtonProps = Looks &
  Pick<
    JSX.IntrinsicElements['button'],
    'type' | 'disabled' | 'onClick' | 'aria-label' | 'aria-expanded'
  > & {
    pressed?: boolean;
  };

export function Button(props: ButtonProps) {
  return (
    <button
      type={props.type ?? 'button'}
      class={classOf(props)}
      disabled={props.disabled}
      onClick={props.onClick}
      aria-label={props['aria-label']}
      aria-expanded={props['aria-expanded']}
      aria-pressed={props.pressed}
    >
      {props.children}
    </button>
  );
}

export function LinkButton(props: Looks & { href: string; 'aria-label'?: string }) {
  return (
    <a class={classOf(props)} href={props.href} aria-label={props['aria-label']}>
      {props.children}
    </a>
  );
}
