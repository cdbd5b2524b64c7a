// SPDX-License-Identifier: Apache-2.0
// Reading a label with the browser's own BarcodeDetector and the camera; where either is absent the
// label is typed.
import { useEffect, useRef, useState } from 'preact/hooks';
import { hasCamera } from './devices';
import { t } from '../text';
import { Button } from '../ui/button';
import { Notice } from '../ui/notice';

interface Detector {
  detect: (source: HTMLVideoElement) => Promise<{ rawValue: string }[]>;
}
type DetectorMaker = new (options?: { formats: string[] }) => Detector;

function maker(): DetectorMaker | undefined {
  return (globalThis as { BarcodeDetector?: DetectorMaker }).BarcodeDetector;
}

export function canScan(): boolean {
  return maker() !== undefined && hasCamera();
}

export function Scanner(props: { onCode: (code: string) => void; onStop: () => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    const Maker = maker();
    let stream: MediaStream | null = null;
    let on = true;
    const look = async (detector: Detector) => {
      const shown = video.current;
      if (!on || shown === null) return;
      const found = shown.readyState >= 2 ? await detector.detect(shown).catch(() => []) : [];
      const code = found[0]?.rawValue ?? '';
      if (code !== '') props.onCode(code);
      else requestAnimationFrame(() => void look(detector));
    };
    const start = async () => {
      if (Maker === undefined) throw new Error('no detector');
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
      const shown = video.current;
      if (!on || shown === null) return;
      shown.srcObject = stream;
      await shown.play();
      await look(new Maker());
    };
    start().catch(() => {
      if (on) setFailed(true);
    });
    return () => {
      on = false;
      stream?.getTracks().forEach((track) => {
        track.stop();
      });
    };
  }, []);
  return (
    <div class="stack">
      {failed ? <Notice kind="fault" title={t.judge.noCamera} /> : <p>{t.assign.scanning}</p>}
      <video ref={video} class="camera" muted playsInline aria-label={t.assign.scanning} />
      <Button onClick={props.onStop}>{t.assign.scanStop}</Button>
    </div>
  );
}
