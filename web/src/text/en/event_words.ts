// SPDX-License-Identifier: Apache-2.0
// One sentence for an entry, by its kind; an empty part is left out.

function joined(...parts: string[]): string {
  return parts.filter((part) => part !== '').join(', ');
}

function spaced(...parts: string[]): string {
  return parts.filter((part) => part !== '').join(' ');
}

export const eventWords = {
  received: (cut: string, mass: string, from: string) =>
    `Received: ${joined(cut, mass, from === '' ? '' : `from ${from}`)}.`,
  weighed: (mass: string) => `${spaced('Weighed', mass)}.`,
  photographed: 'Photographed.',
  judged: (method: string, revision: string) =>
    `Judged${method === '' ? '' : ` with method ${method}, revision ${revision}`}.`,
  moved: (place: string) => `Moved${place === '' ? '' : ` to ${place}`}.`,
  cut: (parts: number, lost: string) =>
    `Cut into ${parts} ${parts === 1 ? 'part' : 'parts'}${lost === '' ? '' : `, ${lost} lost`}.`,
  trimmed: (mass: string, lost: string) =>
    `Trimmed${mass === '' ? '' : ` to ${mass}`}${lost === '' ? '' : `, ${lost} lost`}.`,
  agedStarted: (place: string) => `Put to age${place === '' ? '' : ` in ${place}`}.`,
  agedEnded: 'Taken out of the ageing room.',
  cooked: (doneness: string, mass: string) =>
    `Cooked${doneness === '' ? '' : ` ${doneness}`}${mass === '' ? '' : `, ${mass} after`}.`,
  served: (part: string, place: string) =>
    `${spaced('Served', part, place === '' ? '' : `at ${place}`)}.`,
  sold: (part: string, price: string, to: string) =>
    `${spaced('Sold', part, price === '' ? '' : `for ${price}`, to === '' ? '' : `to ${to}`)}.`,
  discarded: (part: string, reason: string) =>
    `${spaced('Discarded', part)}${reason === '' ? '' : `: ${reason}`}.`,
  tasted: (words: string, score: string) => {
    const said = joined(words, score === '' ? '' : `${score} of 100`);
    return `Tasted${said === '' ? '' : `: ${said}`}.`;
  },
  corrected: (reason: string) => `Corrected an entry${reason === '' ? '' : `: ${reason}`}.`,
  voided: (reason: string) => `Made an entry void${reason === '' ? '' : `: ${reason}`}.`,
  counted: (place: string, lines: number) =>
    `Counted${place === '' ? '' : ` ${place}`}: ${lines} ${lines === 1 ? 'piece' : 'pieces'}.`,
};
