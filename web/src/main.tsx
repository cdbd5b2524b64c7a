// SPDX-License-Identifier: Apache-2.0
import { render } from 'preact';
import { App } from './app/app';
import { startTheme } from './app/theme';
import './styles/tokens.css';
import './styles/base.css';
import './styles/shell.css';
import './styles/parts.css';
import './styles/measure.css';
import './styles/screens.css';

startTheme();
const root = document.getElementById('app');
if (root !== null) render(<App />, root);
