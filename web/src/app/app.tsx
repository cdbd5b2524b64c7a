// SPDX-License-Identifier: Apache-2.0
// The page: starts, shows the screen that the address names, and sends waiting photos whenever the
// program answers.
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { request, url, whenSignedOut } from '../api/client';
import type { Session } from '../api/types';
import { SetupPage } from '../features/signin/setup_page';
import { SignInPage } from '../features/signin/sign_in_page';
import { sendWaiting } from '../offline/send';
import { t } from '../text';
import { Button } from '../ui/button';
import { Busy, Notice } from '../ui/notice';
import { start, startWith, type Start } from './boot';
import { go, useRoute } from './route';
import { Screen } from './screen';
import { forgetLast, HouseContext, keepLast } from './session';
import { Shell } from './shell';
import { TroubleNotice } from './trouble';
import { startWorker, takeNewVersion } from './worker';

const RETRY_MS = 15_000; // while out of reach

export function App() {
  const route = useRoute();
  const [state, setState] = useState<Start | null>(null);
  const [newVersion, setNewVersion] = useState(false);
  const main = useRef<HTMLElement>(null);

  const begin = useCallback(() => {
    void start().then(setState);
  }, []);
  const signedIn = useCallback((session: Session) => {
    void startWith(session).then((next) => {
      setState(next);
      go('#/');
    });
  }, []);
  const signOut = useCallback(() => {
    void request(url('session'), { method: 'DELETE' }).then(() => {
      forgetLast();
      go('#/');
      begin();
    });
  }, []);

  useEffect(() => {
    begin();
    startWorker(() => {
      setNewVersion(true);
    });
    addEventListener('online', begin);
    return () => {
      removeEventListener('online', begin);
    };
  }, []);

  const reach = state?.kind === 'signed_in' && state.reach;
  const away = state?.kind === 'trouble' || (state?.kind === 'signed_in' && !state.reach);
  useEffect(() => {
    whenSignedOut(() => {
      if (reach) begin();
    });
    if (reach) void sendWaiting();
  }, [reach]);
  useEffect(() => {
    if (!away) return;
    const timer = setInterval(begin, RETRY_MS);
    return () => {
      clearInterval(timer);
    };
  }, [away]);

  const path = route.parts.join('/');
  useEffect(() => {
    scrollTo(0, 0);
    main.current?.focus({ preventScroll: true });
  }, [path]);

  const notices = newVersion ? (
    <Notice title={t.newVersion}>
      <div class="row">
        <Button onClick={takeNewVersion}>{t.loadIt}</Button>
      </div>
    </Notice>
  ) : null;

  if (state === null) {
    return (
      <Shell main={main} bare>
        <Busy words={t.busy} />
      </Shell>
    );
  }
  if (state.kind === 'trouble') {
    return (
      <Shell main={main} bare>
        <TroubleNotice trouble={state.trouble} onAgain={begin} />
      </Shell>
    );
  }
  if (state.kind === 'signed_out') {
    const setup = route.parts[0] === 'setup';
    return (
      <Shell main={main} bare>
        {setup ? (
          <SetupPage
            token={route.query.get('token') ?? ''}
            ownerNeeded={state.ownerNeeded}
            onSignedIn={signedIn}
          />
        ) : (
          <SignInPage ownerNeeded={state.ownerNeeded} onSignedIn={signedIn} />
        )}
      </Shell>
    );
  }
  const { session, settings } = state;
  const house = {
    session,
    settings,
    reach: state.reach,
    setSettings: (next: typeof settings) => {
      keepLast(session, next);
      setState({ ...state, settings: next });
    },
    signOut,
    again: begin,
  };
  return (
    <HouseContext.Provider value={house}>
      <Shell
        main={main}
        house={settings.shop}
        at={route.parts[0] ?? ''}
        reach={state.reach}
        onAgain={begin}
      >
        {notices}
        <Screen route={route} />
      </Shell>
    </HouseContext.Provider>
  );
}
