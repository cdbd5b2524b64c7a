// SPDX-License-Identifier: Apache-2.0
// Short names for the types that `npm run types` makes from schema/openapi.json.
import type { components } from './schema';

type S = components['schemas'];

export type Session = S['Session'];
export type SetupState = S['SetupState'];
export type User = S['User'];
export type Role = S['Role'];
export type Permission = S['Permission'];
export type RoleTable = S['RoleTable'];
export type Settings = S['Settings'];
export type Photo = S['Photo'];
export type Job = S['Job'];
export type JudgeOptions = S['JudgeOptions'];
export type Face = S['Face'];
export type FaceLine = S['FaceLine'];
export type Report = S['judged'] | S['refused'];
export type Judged = S['judged'];
export type JudgedFace = S['face'];
export type Muscle = S['muscle'];
export type LayerName = S['LayerName'];
export type Edits = S['Edits'];
export type Comparison = S['Comparison'];
export type Piece = S['Piece'];
export type PieceState = S['PieceState'];
export type PieceDetail = S['PieceDetail'];
export type LedgerEvent = S['Event'];
export type EventKind = S['EventKind'];
export type NewEvent = S['NewEvent'];
export type EventDone = S['EventDone'];
export type Trace = S['Trace'];
export type Stock = S['Stock'];
export type Count = S['Count'];
export type NewCount = S['NewCount'];
export type SearchHit = S['SearchHit'];
export type Money = S['Money'];
export type Problem = S['Problem'];

export interface Page<T> {
  items: T[];
  next: string | null;
}
