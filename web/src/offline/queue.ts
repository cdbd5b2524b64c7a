// SPDX-License-Identifier: Apache-2.0
// Photos that wait on this device until the program answers: IndexedDB, so that they outlive the
// page and the battery. Each carries the keys under which it is sent, made when it was taken, so
// that sending again what had arrived does nothing twice.
import { newKey } from '../api/client';
import type { JudgeOptions } from '../api/types';

export interface Capture {
  id: string; // also the key of the upload
  jobKey: string;
  bytes: Blob;
  name: string;
  takenAt: string; // UTC
  options: JudgeOptions;
  pieceId: string | null;
  refused: string; // why the program would not take it; empty: not refused
}

const NAME = 'ribwright';
const STORE = 'captures';

function opened(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const call = indexedDB.open(NAME, 1);
    call.onupgradeneeded = () => {
      call.result.createObjectStore(STORE, { keyPath: 'id' });
    };
    call.onsuccess = () => {
      resolve(call.result);
    };
    call.onerror = () => {
      reject(call.error ?? new Error('indexedDB'));
    };
  });
}

async function run<T>(
  mode: IDBTransactionMode,
  work: (store: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const db = await opened();
  try {
    return await new Promise<T>((resolve, reject) => {
      const transaction = db.transaction(STORE, mode);
      const call = work(transaction.objectStore(STORE));
      transaction.oncomplete = () => {
        resolve(call.result);
      };
      transaction.onabort = transaction.onerror = () => {
        reject(transaction.error ?? new Error('indexedDB'));
      };
    });
  } finally {
    db.close();
  }
}

const listeners = new Set<() => void>();

function changed(): void {
  for (const call of listeners) call();
}

export function onQueueChange(call: () => void): () => void {
  listeners.add(call);
  return () => {
    listeners.delete(call);
  };
}

export function newCapture(bytes: Blob, name: string, options: JudgeOptions): Capture {
  return {
    id: newKey(),
    jobKey: newKey(),
    bytes,
    name,
    takenAt: new Date().toISOString().replace(/\.\d+Z$/, 'Z'),
    options,
    pieceId: null,
    refused: '',
  };
}

// False where the device has no room for it.
export async function keep(capture: Capture): Promise<boolean> {
  try {
    await run('readwrite', (store) => store.put(capture));
    changed();
    return true;
  } catch {
    return false;
  }
}

export async function drop(id: string): Promise<void> {
  await run('readwrite', (store) => store.delete(id));
  changed();
}

// Oldest first; none where the browser keeps nothing.
export async function waiting(): Promise<Capture[]> {
  try {
    const all = await run('readonly', (store) => store.getAll() as IDBRequest<Capture[]>);
    return all.sort((a, b) => a.takenAt.localeCompare(b.takenAt));
  } catch {
    return [];
  }
}
