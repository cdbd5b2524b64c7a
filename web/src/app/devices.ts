// SPDX-License-Identifier: Apache-2.0
// Browsers show the camera only to pages from this machine or over TLS.
export function hasCamera(): boolean {
  return 'mediaDevices' in navigator;
}
