// Light, dark, or as the device has it.

import { useState } from 'preact/hooks';

type Theme = 'device' | 'light' | 'dark';
const THEMES: readonly { theme: Theme; label: string }[] = [
  { theme: 'device', label: 'As this device' },
  { theme: 'light', label: 'Light' },
  { theme: 'dark', label: 'Dark' },
];
const KEY = 'dryfit:theme';

/** Puts the kept choice into effect; called before the first view. */
export function applyTheme(): void {
  const theme = kept();
  if (theme === 'device') delete document.documentElement.dataset['theme'];
  else document.documentElement.dataset['theme'] = theme;
}

export function ThemeSwitch() {
  const [theme, setTheme] = useState<Theme>(kept);
  return (
    <label class="theme">
      <span>Colours</span>
      <select
        value={theme}
        onChange={(event) => {
          const chosen = THEMES.find((entry) => entry.theme === event.currentTarget.value);
          if (!chosen) return;
          keep(chosen.theme);
          setTheme(chosen.theme);
          applyTheme();
        }}
      >
        {THEMES.map((entry) => (
          <option key={entry.theme} value={entry.theme} selected={entry.theme === theme}>
            {entry.label}
          </option>
        ))}
      </select>
    </label>
  );
}

function kept(): Theme {
  const found = THEMES.find((entry) => entry.theme === read());
  return found ? found.theme : 'device';
}

/** Storage may be shut off; the choice then lasts as long as the page. */
function read(): string | null {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return document.documentElement.dataset['theme'] ?? null;
  }
}

function keep(theme: Theme): void {
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    document.documentElement.dataset['theme'] = theme;
  }
}
