// SPDX-License-Identifier: Apache-2.0
// Which screen an address names.
import { ComparePage } from '../features/compare/compare_page';
import { EditPage } from '../features/face/edit_page';
import { FacePage } from '../features/face/face_page';
import { JudgePage } from '../features/judge/judge_page';
import { LedgerPage } from '../features/ledger/ledger_page';
import { PiecePage } from '../features/ledger/piece_page';
import { SettingsPage } from '../features/settings/settings_page';
import { UsersPage } from '../features/settings/users_page';
import { TodayPage } from '../features/today/today_page';
import { t } from '../text';
import { Notice } from '../ui/notice';
import type { Route } from './route';

export function Screen({ route }: { route: Route }) {
  const [place = '', id = '', part = ''] = route.parts;
  switch (place) {
    case '':
      return <TodayPage />;
    case 'judge':
      return <JudgePage />;
    case 'faces':
      if (id === '') break;
      return part === 'edit' ? <EditPage key={id} id={id} /> : <FacePage key={id} id={id} />;
    case 'compare':
      return <ComparePage key={`${id}/${part}`} first={id} second={part} />;
    case 'ledger':
      return <LedgerPage tab={id} query={route.query} />;
    case 'pieces':
      if (id === '') break;
      return <PiecePage key={id} id={id} />;
    case 'settings':
      return <SettingsPage />;
    case 'users':
      return <UsersPage />;
    default:
      break;
  }
  return <Notice title={t.unknownScreen} />;
}
