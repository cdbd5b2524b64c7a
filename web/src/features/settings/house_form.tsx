// SPDX-License-Identifier: Apache-2.0
// The house's settings. They are written with the ETag they were read under, so that two people do
// not overwrite each other.
import { useEffect, useState } from 'preact/hooks';
import { request, url } from '../../api/client';
import type { Trouble } from '../../api/result';
import type { Settings } from '../../api/types';
import { useLoad } from '../../app/load';
import { useHouse } from '../../app/session';
import { Ready, TroubleNotice } from '../../app/trouble';
import { numberFromText } from '../../format/mass';
import { languages, setLanguage, t } from '../../text';
import { Button } from '../../ui/button';
import { Choice, Field, Select } from '../../ui/field';

const RULER_MM = { low: 130, high: 170 }; // what the API takes

export function HouseForm() {
  const read = useLoad<Settings>(url('settings'));
  return (
    <Ready from={read}>
      {(settings) => <Form settings={settings} etag={read.etag} onStale={read.again} />}
    </Ready>
  );
}

function Form(props: { settings: Settings; etag: string; onStale: () => void }) {
  const { setSettings } = useHouse();
  const [draft, setDraft] = useState(props.settings);
  const [ruler, setRuler] = useState(
    props.settings.card_ruler_mm === null ? '' : String(props.settings.card_ruler_mm),
  );
  const [etag, setEtag] = useState(props.etag);
  const [trouble, setTrouble] = useState<Trouble | null>(null);
  const [saved, setSaved] = useState(false);
  useEffect(() => {
    setDraft(props.settings);
    setEtag(props.etag);
  }, [props.etag]);
  const change = (part: Partial<Settings>) => {
    setSaved(false);
    setDraft({ ...draft, ...part });
  };

  const rulerMm = ruler.trim() === '' ? null : numberFromText(ruler);
  const rulerBad =
    ruler.trim() !== '' && (rulerMm === null || rulerMm < RULER_MM.low || rulerMm > RULER_MM.high)
      ? t.judge.outOfRange(`${RULER_MM.low}`, `${RULER_MM.high} mm`)
      : undefined;
  const currencyBad = /^[A-Z]{3}$/.test(draft.currency) ? undefined : t.settings.badCurrency;

  const save = async (event: Event) => {
    event.preventDefault();
    if (rulerBad !== undefined || currencyBad !== undefined) return;
    const body: Settings = { ...draft, card_ruler_mm: rulerMm };
    const answer = await request<Settings>(url('settings'), { method: 'PUT', body, ifMatch: etag });
    if (!answer.ok) {
      setTrouble(answer.trouble);
      if (answer.trouble.status === 412) props.onStale();
      return;
    }
    setTrouble(null);
    setSaved(true);
    setEtag(answer.etag ?? '');
    setLanguage(answer.value.language);
    setSettings(answer.value);
  };

  return (
    <form class="form" onSubmit={save} noValidate>
      {trouble === null ? null : <TroubleNotice trouble={trouble} />}
      <Field
        label={t.settings.shop}
        value={draft.shop}
        onValue={(shop) => {
          change({ shop });
        }}
        max={80}
        capitalize="sentences"
      />
      <Choice
        legend={t.settings.units}
        value={draft.units}
        options={[
          ['metric', t.settings.metric],
          ['us', t.settings.us],
        ]}
        onValue={(units) => {
          change({ units });
        }}
      />
      <Field
        label={t.settings.currency}
        hint={t.settings.currencyHint}
        value={draft.currency}
        wrong={currencyBad}
        max={3}
        capitalize="characters"
        onValue={(currency) => {
          change({ currency: currency.toUpperCase() });
        }}
      />
      {languages.length < 2 ? null : (
        <Select
          label={t.settings.language}
          value={draft.language}
          options={languages}
          onValue={(code) => {
            change({ language: code });
          }}
        />
      )}
      <Field
        label={t.settings.ruler}
        hint={t.settings.rulerHint}
        unit="mm"
        mode="decimal"
        value={ruler}
        wrong={rulerBad}
        onValue={(text) => {
          setSaved(false);
          setRuler(text);
        }}
      />
      <Field
        label={t.settings.spec}
        hint={t.settings.specHint}
        long
        value={draft.house_spec}
        onValue={(house_spec) => {
          change({ house_spec });
        }}
      />
      <div class="row">
        <Button type="submit" first>
          {t.save}
        </Button>
        <span role="status">{saved ? t.settings.saved : ''}</span>
      </div>
    </form>
  );
}
