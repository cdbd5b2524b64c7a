// SPDX-License-Identifier: Apache-2.0
// The photo with its layers: the program's pictures of fat, cover and what could not be read, and
// the outlines as lines that stay thin at any zoom.
import { useState } from 'preact/hooks';
import { url } from '../../api/client';
import type { Face, Judged, LayerName } from '../../api/types';
import { middleOf, outlineOf } from '../../domain/report';
import { boundsOf, pathOf } from '../../domain/ring';
import { t } from '../../text';
import { Button } from '../../ui/button';
import { PhotoView } from '../../ui/photo_view';

const LAYERS = ['fat', 'muscles', 'cover', 'glare'] as const;
type Layer = (typeof LAYERS)[number];
const NAME_PX = 15; // letters of a muscle's name, frame pixels

export function photoSize(report: Judged): { width: number; height: number } {
  return { width: report.width_px ?? 0, height: report.height_px ?? 0 };
}

export function FacePicture(props: { face: Face; report: Judged; which: number }) {
  const { face, report, which } = props;
  const [on, setOn] = useState<ReadonlySet<Layer>>(new Set(['fat', 'muscles', 'glare']));
  const photo = photoSize(report);
  const shown = report.faces[which];
  const has = (layer: LayerName) => face.layers.includes(layer);
  const toggle = (layer: Layer) => {
    const next = new Set(on);
    if (!next.delete(layer)) next.add(layer);
    setOn(next);
  };
  return (
    <section class="stack">
      <PhotoView
        photo={photo}
        label={t.face.viewer}
        start={shown === undefined ? null : boundsOf(outlineOf(shown.outline_px))}
      >
        {(view) => (
          <>
            <img src={url(`photos/${face.photo_id}/picture`)} alt="" draggable={false} />
            {LAYERS.map((layer) =>
              layer !== 'muscles' && on.has(layer) && has(layer) ? (
                <img
                  key={layer}
                  src={url(`faces/${face.id}/layers/${layer}`)}
                  alt=""
                  draggable={false}
                />
              ) : null,
            )}
            {on.has('muscles') ? <Outlines report={report} scale={view.scale} /> : null}
          </>
        )}
      </PhotoView>
      <div class="row" role="group" aria-label={t.face.layers}>
        {LAYERS.map((layer) => (
          <Button
            key={layer}
            pressed={on.has(layer)}
            disabled={layer !== 'muscles' && !has(layer)}
            onClick={() => {
              toggle(layer);
            }}
          >
            <span class={`key ${layer}`} aria-hidden="true" />
            {t.face.layer[layer]}
          </Button>
        ))}
      </div>
      <ul class="small soft">
        {LAYERS.filter((layer) => on.has(layer) && (layer === 'muscles' || has(layer))).map(
          (layer) => (
            <li key={layer}>{t.face.legend[layer]}</li>
          ),
        )}
      </ul>
    </section>
  );
}

function Outlines({ report, scale }: { report: Judged; scale: number }) {
  const { width, height } = photoSize(report);
  return (
    <svg viewBox={`0 0 ${width} ${height}`} style={{ '--px': `${1 / scale}` }} aria-hidden="true">
      {report.faces.map((face, i) => {
        const outline = pathOf(outlineOf(face.outline_px));
        return (
          <g key={i}>
            <path d={outline} class="outline-under" />
            <path d={outline} class="outline-face" />
            {face.muscles.map((muscle, k) => {
              const rings = outlineOf(muscle.outline_px);
              const path = pathOf(rings);
              const middle = middleOf(rings);
              return (
                <g key={k}>
                  <path d={path} class="outline-under" />
                  <path d={path} class="outline-muscle" />
                  {middle === null ? null : (
                    <text
                      x={middle[0]}
                      y={middle[1]}
                      font-size={NAME_PX / scale}
                      class="muscle-name"
                    >
                      {t.face.muscleShort[muscle.name]}
                    </text>
                  )}
                </g>
              );
            })}
          </g>
        );
      })}
    </svg>
  );
}
