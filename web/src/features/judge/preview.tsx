// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from 'preact/hooks';
import { t } from '../../text';
import { Button } from '../../ui/button';

interface PreviewProps {
  bytes: Blob;
  keep: boolean; // the program is out of reach: it can only be kept
  disabled: boolean;
  onSend: () => void;
  onRetake: () => void;
}

export function Preview(props: PreviewProps) {
  const [source, setSource] = useState('');
  const [shows, setShows] = useState(true);
  useEffect(() => {
    const made = URL.createObjectURL(props.bytes);
    setSource(made);
    return () => {
      URL.revokeObjectURL(made);
    };
  }, [props.bytes]);
  return (
    <section class="stack">
      {source !== '' && shows ? (
        <img
          class="preview"
          src={source}
          alt={t.judge.preview}
          onError={() => {
            setShows(false); // HEIC: this browser cannot show it, the program can read it
          }}
        />
      ) : null}
      {shows ? null : <p class="soft">{t.judge.noPreview}</p>}
      <div class="shutter-row">
        <Button first big wide disabled={props.disabled} onClick={props.onSend}>
          {props.keep ? t.judge.keep : t.judge.send}
        </Button>
        <Button onClick={props.onRetake}>{t.judge.retake}</Button>
      </div>
    </section>
  );
}
