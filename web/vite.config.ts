// SPDX-License-Identifier: Apache-2.0
// How the front is built: two entries, the page and its service worker. The worker keeps a fixed
// name, since its scope is where it lies; it gets the list of all other files and a version that
// changes with any of them. Nothing is inlined, so that the content policy can allow 'self' alone.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig, type Plugin } from 'vite';

function shellList(): Plugin {
  return {
    name: 'shell-list',
    apply: 'build',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const worker = bundle['sw.js'];
      if (worker?.type !== 'chunk') throw new Error('sw.js was not built');
      const names = Object.keys(bundle).filter(
        (name) => name !== 'sw.js' && !name.endsWith('.map'),
      );
      const files = [...names, ...readdirSync('public')].sort();
      const hash = createHash('sha256');
      for (const name of names.sort()) {
        const item = bundle[name];
        if (item !== undefined) hash.update(item.type === 'chunk' ? item.code : item.source);
      }
      for (const name of readdirSync('public').sort()) hash.update(readFileSync(`public/${name}`));
      const list = JSON.stringify(
        files.map((name) => (name === 'index.html' ? './' : `./${name}`)),
      );
      const version = JSON.stringify(hash.digest('hex').slice(0, 16));
      worker.code = worker.code
        .replace(/["']@SHELL_FILES@["']/, list)
        .replace(/["']@SHELL_VERSION@["']/, version);
      if (/@SHELL_/.test(worker.code)) throw new Error('the list of files was not put into sw.js');
    },
  };
}

export default defineConfig({
  base: './',
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    rollupOptions: {
      input: { index: 'index.html', sw: 'src/sw/service_worker.ts' },
      output: {
        entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js'),
        chunkFileNames: 'assets/[name]-[hash].js',
        assetFileNames: 'assets/[name]-[hash][extname]',
      },
    },
  },
  plugins: [shellList()],
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
} as Parameters<typeof defineConfig>[0]);
