// SPDX-License-Identifier: Apache-2.0
// From the photo to the job that judges it.

export const judge = {
  title: 'Judge a face',
  how: 'From straight above, the card flat beside the meat, no flash. Put the knife down first.',
  shutter: 'Take the photo',
  camera: 'Open the camera',
  closeCamera: 'Close the camera',
  file: 'Choose a photo',
  fileCamera: 'Photograph',
  noCamera: 'The camera could not be opened',
  noCameraMend: 'Allow the camera for this page, or use “Choose a photo”.',
  notSecure:
    'This connection lets the page use only the camera of the file chooser. Install the certificate of the house to photograph here.',
  options: 'What you know about it',
  framing: 'The photo shows',
  framingFace: 'the whole face on a board',
  framingCrop: 'only meat, edge to edge',
  thickness: 'Thickness of the piece',
  thicknessHint: 'Makes lengths more certain when the card lies on the board.',
  bloom: 'Minutes since the cut',
  bloomHint: 'Lean reddens in air; colour needs this.',
  badNumber: 'A number, please, or leave it empty.',
  outOfRange: (low: string, high: string) => `From ${low} to ${high}.`,
  send: 'Judge this photo',
  retake: 'Take another',
  keep: 'Keep it to send later',
  preview: 'The photo about to be judged',
  noPreview: 'This browser cannot show the photo; the program can read it.',
  tooMuch: {
    empty: 'The file is empty.',
    emptyMend: 'Choose the photo again, or take another.',
    bytes: (mb: string) => `The photo has ${mb} MB; at most 64 MB can be judged. It was not sent.`,
    bytesMend: 'Save it as JPEG, or photograph with the page’s camera.',
    pixels: (mp: string) =>
      `The photo has ${mp} megapixels; at most 100 can be judged. It was not sent.`,
    pixelsMend:
      'Choose a smaller picture size in the camera’s settings; 12 megapixels are plenty for a face.',
  },
  sending: 'Sending the photo',
  sent: (percent: string) => `${percent} sent`,
  ahead: (n: number) => (n === 1 ? '1 photo comes first' : `${n} photos come first`),
  stages: {
    waiting: 'waiting for its turn',
    starting: 'starting',
    reading: 'reading the photo',
    measuring: 'measuring the face',
    drawing: 'drawing the layers',
    keeping: 'keeping the result',
    done: 'done',
    failed: 'could not be judged',
  },
  queue: 'Photos that wait on this device',
  sendNow: 'Send now',
  remove: 'Remove',
  removeSure: 'Remove this photo? It exists only on this device.',
  queued: 'Kept on this device. It is sent when the program answers.',
  queueSent: (n: number) =>
    n === 1
      ? '1 waiting photo was sent. It is judged now.'
      : `${n} waiting photos were sent. They are judged now.`,
  taken: (when: string) => `taken ${when}`,
  refusedBefore: (why: string) => `was refused: ${why}`,
  recent: 'Judged before',
  mayNot: 'Your role may look at judged faces but not judge new ones.',
  noRoom: 'This device has no room left to keep the photo.',
  noRoomMend: 'Delete something on the device, or send the waiting photos first.',
};
