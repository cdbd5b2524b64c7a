// SPDX-License-Identifier: Apache-2.0
// Lint rules, zero warnings allowed. The import bans are the front end's layers:
// features know everything below but not each other; ui knows neither the API nor a feature;
// domain and format are pure.
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import tseslint from 'typescript-eslint';

const ban = (...groups) => [
  'error',
  { patterns: groups.map(([group, message]) => ({ group: [group], message })) },
];

export default tseslint.config(
  { ignores: ['dist', 'node_modules', 'src/api/schema.d.ts'] },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: {
        project: ['./tsconfig.json', './tsconfig.sw.json', './tsconfig.node.json'],
        tsconfigRootDir: dirname(fileURLToPath(import.meta.url)),
      },
    },
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      eqeqeq: 'error',
      'no-console': 'error',
      'prefer-const': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-explicit-any': 'error',
      // Numbers reach text only through src/format; in class names and attributes they may stand as they are.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/no-misused-promises': [
        'error',
        { checksVoidReturn: { attributes: false } },
      ],
    },
  },
  {
    files: ['src/ui/**'],
    rules: {
      'no-restricted-imports': ban(
        ['**/api/*', 'ui may not know the API'],
        ['**/features/**', 'ui may not know a feature'],
        ['**/offline/*', 'ui may not know the queue'],
      ),
    },
  },
  {
    files: ['src/domain/**', 'src/format/**'],
    ignores: ['**/*.test.ts'],
    rules: {
      'no-restricted-imports': ban(
        ['preact*', 'pure functions only'],
        ['**/ui/*', 'pure functions only'],
        ['**/features/**', 'pure functions only'],
      ),
    },
  },
  {
    files: ['src/features/**'],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: [
            { regex: '^\\.\\./(?!\\.\\.)', message: 'a feature may not import another feature' },
          ],
        },
      ],
    },
  },
  { files: ['scripts/**'], rules: { 'no-console': 'off' } },
  { files: ['e2e/**'], rules: { 'no-console': ['error', { allow: ['info'] }] } },
  { files: ['*.js', 'scripts/*.mjs'], ...tseslint.configs.disableTypeChecked },
);
