// SPDX-License-Identifier: Apache-2.0
// Signs drawn on a 24 px grid; always beside words or with a label, so hidden from readers.
import type { ComponentChildren } from 'preact';

function Icon({ children }: { children: ComponentChildren }) {
  return (
    <svg
      viewBox="0 0 24 24"
      fill="none"
      stroke="currentColor"
      stroke-width="2"
      stroke-linecap="round"
      stroke-linejoin="round"
      aria-hidden="true"
    >
      {children}
    </svg>
  );
}

export const TodayIcon = () => (
  <Icon>
    <circle cx="12" cy="12" r="9" />
    <path d="M12 7v5l3.5 2" />
  </Icon>
);
export const CameraIcon = () => (
  <Icon>
    <path d="M4 8h3l1.5-2.5h7L17 8h3v11H4z" />
    <circle cx="12" cy="13" r="3.6" />
  </Icon>
);
export const CompareIcon = () => (
  <Icon>
    <path d="M3.5 6.5h7v11h-7zM13.5 6.5h7v11h-7z" />
  </Icon>
);
export const LedgerIcon = () => (
  <Icon>
    <path d="M5 4h14v16H5zM9 4v16M12 9h4M12 13h4" />
  </Icon>
);
export const SettingsIcon = () => (
  <Icon>
    <path d="M4 7h9M17 7h3M4 12h3M11 12h9M4 17h11M19 17h1" />
    <circle cx="15" cy="7" r="2" />
    <circle cx="9" cy="12" r="2" />
    <circle cx="17" cy="17" r="2" />
  </Icon>
);
export const PlusIcon = () => (
  <Icon>
    <path d="M12 5v14M5 12h14" />
  </Icon>
);
export const MinusIcon = () => (
  <Icon>
    <path d="M5 12h14" />
  </Icon>
);
export const WholeIcon = () => (
  <Icon>
    <path d="M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5" />
  </Icon>
);
export const FileIcon = () => (
  <Icon>
    <path d="M4 5h16v14H4z" />
    <path d="M4 16l5-5 4 4 3-3 4 4" />
  </Icon>
);
export const PenIcon = () => (
  <Icon>
    <path d="M5 19l1-4L16 5l3 3L9 18zM14 7l3 3" />
  </Icon>
);
export const TagIcon = () => (
  <Icon>
    <path d="M4 4h8l8 8-8 8-8-8z" />
    <circle cx="8.5" cy="8.5" r="1.2" />
  </Icon>
);
export const SwapIcon = () => (
  <Icon>
    <path d="M4 9h15l-4-4M20 15H5l4 4" />
  </Icon>
);
export const UndoIcon = () => (
  <Icon>
    <path d="M5 10h9a5 5 0 010 10h-3M9 6l-4 4 4 4" />
  </Icon>
);
export const BackIcon = () => (
  <Icon>
    <path d="M15 5l-7 7 7 7" />
  </Icon>
);
