// SPDX-License-Identifier: Apache-2.0
// The camera in the page: as many pixels as it gives, a shutter as wide as the hand. The photo is
// taken by the camera itself where the browser can (ImageCapture), else it is the frame shown.
import { useEffect, useRef, useState } from 'preact/hooks';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { CameraIcon } from '../../ui/icons';

const WIDTH_PX = 4096; // asked for, not required
const QUALITY = 0.95; // of the JPEG made from a frame (assumed: its errors are below the flecks measured)

interface StillCamera {
  takePhoto: () => Promise<Blob>;
}
type StillCameraMaker = new (track: MediaStreamTrack) => StillCamera;

async function stillFrom(track: MediaStreamTrack): Promise<Blob | null> {
  const Maker = (globalThis as { ImageCapture?: StillCameraMaker }).ImageCapture;
  if (Maker === undefined) return null;
  try {
    const photo = await new Maker(track).takePhoto();
    return photo.size > 0 ? photo : null;
  } catch {
    return null; // many cameras only stream
  }
}

function frameFrom(video: HTMLVideoElement): Promise<Blob | null> {
  const canvas = document.createElement('canvas');
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext('2d')?.drawImage(video, 0, 0);
  return new Promise((resolve) => {
    canvas.toBlob(resolve, 'image/jpeg', QUALITY);
  });
}

export function Camera(props: {
  onPhoto: (bytes: Blob) => void;
  onFailed: () => void;
  onClose: () => void;
}) {
  const video = useRef<HTMLVideoElement>(null);
  const stream = useRef<MediaStream | null>(null);
  const [ready, setReady] = useState(false);
  useEffect(() => {
    let gone = false;
    const left = () => gone;
    const start = async () => {
      const wanted = {
        video: { facingMode: 'environment', width: { ideal: WIDTH_PX } },
        audio: false,
      };
      const got = await navigator.mediaDevices.getUserMedia(wanted);
      const shown = video.current;
      if (left() || shown === null) {
        got.getTracks().forEach((track) => {
          track.stop();
        });
        return;
      }
      stream.current = got;
      shown.srcObject = got;
      await shown.play();
      if (!left()) setReady(true);
    };
    start().catch(() => {
      if (!left()) props.onFailed();
    });
    return () => {
      gone = true;
      stream.current?.getTracks().forEach((track) => {
        track.stop();
      });
    };
  }, []);

  const shoot = async () => {
    const shown = video.current;
    const track = stream.current?.getVideoTracks()[0];
    if (shown === null || track === undefined) return;
    setReady(false);
    const photo = (await stillFrom(track)) ?? (await frameFrom(shown));
    if (photo === null) props.onFailed();
    else props.onPhoto(photo);
  };

  return (
    <section class="stack">
      <video ref={video} class="camera" muted playsInline aria-label={t.judge.how} />
      <div class="shutter-row">
        <Button first big wide disabled={!ready} onClick={shoot}>
          <CameraIcon />
          {t.judge.shutter}
        </Button>
        <Button onClick={props.onClose}>{t.judge.closeCamera}</Button>
      </div>
    </section>
  );
}
