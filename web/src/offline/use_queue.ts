// SPDX-License-Identifier: Apache-2.0
import { useEffect, useState } from 'preact/hooks';
import { onQueueChange, waiting, type Capture } from './queue';

export function useQueue(): Capture[] {
  const [all, setAll] = useState<Capture[]>([]);
  useEffect(() => {
    let here = true;
    const read = () => {
      void waiting().then((captures) => {
        if (here) setAll(captures);
      });
    };
    read();
    const stop = onQueueChange(read);
    return () => {
      here = false;
      stop();
    };
  }, []);
  return all;
}
