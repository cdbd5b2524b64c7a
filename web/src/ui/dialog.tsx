// SPDX-License-Identifier: Apache-2.0
// A modal sheet on the browser's own dialog: focus is kept in it, Escape closes it.
import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';

export function Dialog(props: { title: string; onClose: () => void; children: ComponentChildren }) {
  const id = useId();
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    box.current?.showModal();
  }, []);
  return (
    <dialog ref={box} aria-labelledby={id} onClose={props.onClose}>
      <div class="stack">
        <h2 id={id}>{props.title}</h2>
        {props.children}
      </div>
    </dialog>
  );
}
