// SPDX-License-Identifier: Apache-2.0
// A running program with an empty data folder, and a client that speaks to it as a signed-in user,
// to lay out what a test needs.
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));
export const program = process.env.RIBWRIGHT ?? join(root, 'build/release/ribwright');

export interface House {
  url: string; // ends in /
  setupUrl: string; // empty once there is an owner
  stop: () => Promise<void>;
  pause: () => void; // the program stands still: nothing answers
}

export async function openHouse(): Promise<House> {
  const data = mkdtempSync(join(tmpdir(), 'ribwright-e2e-'));
  const child: ChildProcess = spawn(program, ['serve', '--data', data, '--port', '0'], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const said = await new Promise<string>((resolve, reject) => {
    let out = '';
    let err = '';
    child.stdout?.on('data', (chunk: Buffer) => {
      out += chunk.toString();
      if (/Stop with Ctrl-C/.test(out)) resolve(out);
    });
    child.stderr?.on('data', (chunk: Buffer) => {
      err += chunk.toString();
    });
    child.on('error', reject);
    child.on('exit', (code) => {
      reject(new Error(`serve ended with ${code ?? 'a signal'}: ${out}${err}`));
    });
  });
  const url = /serves at (\S+)/.exec(said)?.[1] ?? '';
  return {
    url: url.endsWith('/') ? url : `${url}/`,
    setupUrl: /(http\S*#\/setup\?token=\S+)/.exec(said)?.[1] ?? '',
    pause: () => child.kill('SIGSTOP'),
    stop: () =>
      new Promise((resolve) => {
        child.removeAllListeners('exit');
        child.on('exit', () => {
          rmSync(data, { recursive: true, force: true });
          resolve();
        });
        child.kill('SIGCONT');
        child.kill('SIGTERM');
      }),
  };
}

export interface Client {
  call: (method: string, path: string, body?: unknown) => Promise<unknown>;
  text: (path: string) => Promise<string>; // all of a stream, once it has ended
  sendPhoto: (bytes: Buffer, name: string) => Promise<string>;
}

interface Signed {
  csrf_token: string;
}

async function signed(answer: Response, url: string): Promise<Client> {
  if (!answer.ok) throw new Error(`${answer.status} ${await answer.text()}`);
  const cookie = (answer.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  const { csrf_token } = (await answer.json()) as Signed;
  let made = 0;
  const headers = (): Record<string, string> => ({
    cookie,
    'X-CSRF-Token': csrf_token,
    'Idempotency-Key': `e2e-${process.pid}-${Date.now()}-${(made += 1)}`,
  });
  const taken = async (response: Response) => {
    const text = await response.text();
    if (!response.ok) throw new Error(`${response.url}: ${response.status} ${text}`);
    return text === '' ? null : (JSON.parse(text) as unknown);
  };
  return {
    call: async (method, path, body) => {
      const init: RequestInit = {
        method,
        headers: { ...headers(), 'Content-Type': 'application/json' },
      };
      if (body !== undefined) init.body = JSON.stringify(body);
      return taken(await fetch(`${url}api/v1/${path}`, init));
    },
    text: async (path) => (await fetch(`${url}api/v1/${path}`, { headers: { cookie } })).text(),
    sendPhoto: async (bytes, name) => {
      const init = {
        method: 'POST',
        headers: { ...headers(), 'Content-Type': 'image/jpeg' },
        body: new Uint8Array(bytes),
      };
      const photo = await taken(await fetch(`${url}api/v1/photos?name=${name}`, init));
      return (photo as { id: string }).id;
    },
  };
}

const post = (body: unknown): RequestInit => ({
  method: 'POST',
  headers: { 'Content-Type': 'application/json' },
  body: JSON.stringify(body),
});

export async function makeOwner(house: House, name: string, password: string): Promise<Client> {
  const token = /token=(\S+)/.exec(house.setupUrl)?.[1];
  const body = { token, name, full_name: 'Marit Holm', password };
  return signed(await fetch(`${house.url}api/v1/setup`, post(body)), house.url);
}

export async function signIn(url: string, name: string, password: string): Promise<Client> {
  return signed(await fetch(`${url}api/v1/session`, post({ name, password })), url);
}

interface JobState {
  face_id: string | null;
  error: unknown;
}

// The face that a photo was judged to, told by the stream of its job.
export async function judgedFace(client: Client, photoId: string): Promise<string> {
  const job = (await client.call('POST', 'jobs', { photo_id: photoId, options: {} })) as {
    id: string;
  };
  const told = (await client.text(`jobs/${job.id}/events`)).trim().split('\n');
  const last = told.filter((line) => line.startsWith('data:')).at(-1) ?? 'data: {}';
  const end = JSON.parse(last.slice('data:'.length)) as JobState;
  if (end.face_id === null) throw new Error(JSON.stringify(end.error));
  return end.face_id;
}
