// SPDX-License-Identifier: Apache-2.0
// A series over time with uPlot, in the page's colours, as wide as its box.
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';

export interface Series {
  seconds: number[];
  values: number[];
  name: string;
  height: number;
}

export function drawSeries(box: HTMLElement, series: Series): () => void {
  const style = getComputedStyle(box);
  const colour = (name: string) => style.getPropertyValue(name).trim();
  const axis = {
    stroke: colour('--soft'),
    grid: { stroke: colour('--hair'), width: 1 },
    ticks: { stroke: colour('--hair'), width: 1 },
    font: `13px ${style.fontFamily}`,
  };
  const options: uPlot.Options = {
    width: box.clientWidth,
    height: series.height,
    legend: { show: false },
    axes: [axis, { ...axis, size: 56 }],
    series: [
      {},
      {
        label: series.name,
        stroke: colour('--deed'),
        width: 2,
        points: { size: 9, fill: colour('--sheet') },
      },
    ],
  };
  const plot = new uPlot(options, [series.seconds, series.values], box);
  const watch = new ResizeObserver(() => {
    plot.setSize({ width: box.clientWidth, height: series.height });
  });
  watch.observe(box);
  return () => {
    watch.disconnect();
    plot.destroy();
  };
}
