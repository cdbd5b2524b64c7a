// SPDX-License-Identifier: Apache-2.0
// Getting a photo: the page's own camera with a large shutter where the browser gives one, else the
// phone's camera through the file chooser, which every browser has.
import { useState } from 'preact/hooks';
import { hasCamera } from '../../app/devices';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { CameraIcon, FileIcon } from '../../ui/icons';
import { Notice } from '../../ui/notice';
import { Camera } from './camera';

const ACCEPT = 'image/jpeg,image/png,image/webp,image/heic,.heic';

export function TakePhoto({
  onPhoto,
}: {
  onPhoto: (bytes: Blob, name: string) => void | Promise<void>;
}) {
  const [open, setOpen] = useState(false);
  const [failed, setFailed] = useState(false);
  const camera = hasCamera();
  const onFile = (event: { currentTarget: HTMLInputElement }) => {
    const file = event.currentTarget.files?.[0];
    event.currentTarget.value = '';
    if (file !== undefined) void onPhoto(file, file.name);
  };
  if (open) {
    return (
      <Camera
        onPhoto={(bytes) => {
          void onPhoto(bytes, `camera-${new Date().toISOString().replace(/[:.]/g, '-')}.jpg`);
        }}
        onFailed={() => {
          setOpen(false);
          setFailed(true);
        }}
        onClose={() => {
          setOpen(false);
        }}
      />
    );
  }
  return (
    <section class="stack">
      {failed ? (
        <Notice kind="fault" title={t.judge.noCamera}>
          {t.judge.noCameraMend}
        </Notice>
      ) : null}
      {camera ? (
        <Button
          first
          big
          wide
          onClick={() => {
            setFailed(false);
            setOpen(true);
          }}
        >
          <CameraIcon />
          {t.judge.camera}
        </Button>
      ) : (
        <>
          <label class="button first big wide file">
            <CameraIcon />
            {t.judge.fileCamera}
            <input type="file" accept="image/*" capture="environment" onChange={onFile} />
          </label>
          <p class="soft small">{t.judge.notSecure}</p>
        </>
      )}
      <label class="button wide file">
        <FileIcon />
        {t.judge.file}
        <input type="file" accept={ACCEPT} onChange={onFile} />
      </label>
      <p class="soft">{t.judge.how}</p>
    </section>
  );
}
