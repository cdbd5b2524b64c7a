// SPDX-License-Identifier: Apache-2.0
import type { ComponentChildren } from 'preact';

// `care`: a caution; `fault`: something was refused or failed, said aloud by readers at once.
export function Notice(props: {
  kind?: 'care' | 'fault';
  title?: string;
  children?: ComponentChildren;
}) {
  return (
    <div class={`notice ${props.kind ?? ''}`} role={props.kind === 'fault' ? 'alert' : undefined}>
      {props.title === undefined ? null : <strong>{props.title}</strong>}
      {props.children}
    </div>
  );
}

export function Busy({ words }: { words: string }) {
  return (
    <p class="busy" role="status">
      {words}
    </p>
  );
}
