// The only place where the page makes a number into words. It prints; reading is the server's.

import type { Units } from './api/schema';

/** Between a figure and its unit, and between feet and inches: thin and unbreakable. */
const THIN_SPACE = '\u202F';
const MINUS = '\u2212';
/** Stands for a blank; its reason goes beside it. */
export const BLANK = '\u2013';

const METRES_PER_INCH = 0.0254;

/** A length in the job's units, to 1/8 in or 1 mm: `10′ 6 1/2″`, `3.21 m`, `321 mm`. */
export function length(metres: number, units: Units): string {
  const text = magnitude(Math.abs(metres), units);
  return metres < 0 && !isZero(text) ? MINUS + text : text;
}

/** A length that is good above nothing and bad below: always with its sign. */
export function margin(metres: number, units: Units): string {
  const text = magnitude(Math.abs(metres), units);
  return isZero(text) ? text : (metres < 0 ? MINUS : '+') + text;
}

/** An uncertainty, as it stands behind a figure: `±6 mm`. */
export function uncertainty(metres: number, units: Units): string {
  return `±${magnitude(Math.abs(metres), units)}`;
}

/** An angle in whole degrees or tenths: `12.5°`. */
export function angle(radians: number): string {
  const tenths = Math.round(Math.abs(radians) * (1800 / Math.PI)) / 10;
  return (radians < 0 && tenths !== 0 ? MINUS : '') + `${tenths}°`;
}

/** How long something takes, to the minute: `45 min`, `2 h 10 min`. */
export function duration(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  if (minutes < 1) return seconds > 0 ? `under 1${THIN_SPACE}min` : `0${THIN_SPACE}min`;
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  const parts = [hours > 0 ? `${hours}${THIN_SPACE}h` : '', rest > 0 ? `${rest}${THIN_SPACE}min` : ''];
  return parts.filter(Boolean).join(' ');
}

/** A plain number with at most so many decimals, and a true minus. */
export function figure(value: number, decimals: number): string {
  const fixed = Math.abs(value).toFixed(decimals);
  const text = fixed.includes('.') ? fixed.replace(/\.?0+$/, '') : fixed;
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

/** A moment as the reader's clock and calendar say it; today's by its hour alone. */
export function when(iso: string, now: Date = new Date()): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return BLANK;
  const time = date.toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' });
  if (date.toDateString() === now.toDateString()) return `today ${time}`;
  const day = date.toLocaleDateString(undefined, { day: 'numeric', month: 'short', year: 'numeric' });
  return `${day}, ${time}`;
}

/** `1 room`, `3 rooms`. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

function magnitude(metres: number, units: Units): string {
  if (!Number.isFinite(metres)) return BLANK;
  return units === 'imperial' ? feetAndInches(metres) : metric(metres);
}

function metric(metres: number): string {
  const millimetres = Math.round(metres * 1000);
  if (millimetres < 1000) return `${millimetres}${THIN_SPACE}mm`;
  return `${(millimetres / 1000).toFixed(3).replace(/\.?0+$/, '')}${THIN_SPACE}m`;
}

function feetAndInches(metres: number): string {
  const eighths = Math.round((metres / METRES_PER_INCH) * 8);
  const feet = Math.floor(eighths / 96);
  const rest = eighths % 96;
  if (feet === 0) return `${inches(rest)}″`;
  return `${feet}′${THIN_SPACE}${inches(rest)}″`;
}

function inches(eighths: number): string {
  const whole = Math.floor(eighths / 8);
  const part = eighths % 8;
  if (part === 0) return String(whole);
  const shared = part % 4 === 0 ? 4 : part % 2 === 0 ? 2 : 1;
  const fraction = `${part / shared}/${8 / shared}`;
  return whole === 0 ? fraction : `${whole}${THIN_SPACE}${fraction}`;
}

function isZero(text: string): boolean {
  return !/[1-9]/.test(text);
}
