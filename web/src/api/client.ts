// SPDX-License-Identifier: Apache-2.0
// The one door to the program: JSON requests with the session's cookie, its CSRF token and, for
// what must happen once, a key. Every answer is a Result; nothing is thrown for the network's or
// the server's sake. Uploads (upload.ts) and event streams (events.ts) take their headers here.
import { done, failed, troubleFrom, unreachable, type Result } from './result';

const BASE = 'api/v1/';

let csrfToken = '';
let onSignedOut: () => void = () => undefined;

export function setCsrfToken(token: string): void {
  csrfToken = token;
}

// Called when an answer says that nobody is signed in any more.
export function whenSignedOut(call: () => void): void {
  onSignedOut = call;
}

export function url(path: string, query: Record<string, string | number | undefined> = {}): string {
  const search = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) {
    if (value !== undefined) search.set(key, String(value));
  }
  const text = search.toString();
  return BASE + path + (text === '' ? '' : `?${text}`);
}

// 128 random bits in base64url.
export function newKey(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return btoa(String.fromCharCode(...bytes))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '');
}

export interface RequestOptions {
  method?: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';
  body?: unknown;
  once?: string;
  ifMatch?: string;
  signal?: AbortSignal;
}

export function writeHeaders(once?: string, ifMatch?: string): Record<string, string> {
  const headers: Record<string, string> = { 'X-CSRF-Token': csrfToken };
  if (once !== undefined) headers['Idempotency-Key'] = once;
  if (ifMatch !== undefined) headers['If-Match'] = ifMatch;
  return headers;
}

export function signedOutBy(status: number): void {
  if (status === 401) onSignedOut();
}

async function answered(path: string, options: RequestOptions): Promise<Response | null> {
  const { method = 'GET', body, once, ifMatch, signal } = options;
  const headers: Record<string, string> = method === 'GET' ? {} : writeHeaders(once, ifMatch);
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  const init: RequestInit = { method, headers, credentials: 'same-origin' };
  if (body !== undefined) init.body = JSON.stringify(body);
  if (signal !== undefined) init.signal = signal;
  try {
    return await fetch(path, init);
  } catch {
    return null;
  }
}

async function bodyOf(response: Response): Promise<unknown> {
  try {
    const text = await response.text();
    return text === '' ? null : (JSON.parse(text) as unknown);
  } catch {
    return null;
  }
}

// T is what schema/openapi.json promises for this path; the program is tested against it.
export async function request<T>(
  path: string,
  options: RequestOptions = {},
): Promise<Result<T> & { etag?: string }> {
  const response = await answered(path, options);
  if (response === null) return failed(unreachable());
  const body = await bodyOf(response);
  if (!response.ok) {
    signedOutBy(response.status);
    return failed(troubleFrom(response.status, body));
  }
  const etag = response.headers.get('ETag');
  return { ...done(body as T), ...(etag === null ? {} : { etag }) };
}
