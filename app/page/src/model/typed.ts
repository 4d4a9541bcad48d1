// What a thumb types on the keys, as the car file takes it. No sums: the core reads the units.
export type LengthUnit = 'mm' | 'in' | 'thou';
export type AngleUnit = '°' | "°'";
export type Quantity = 'length' | 'angle';

export const unitsOf = (quantity: Quantity): readonly (LengthUnit | AngleUnit)[] =>
  quantity === 'length' ? ['mm', 'in', 'thou'] : ['°', "°'"];

// "178.5", "2 3/8 in", "15 thou", "-1.5", "5°30'"; empty stays empty.
export function asFile(typed: string, unit: LengthUnit | AngleUnit): string {
  const text = typed.trim().replaceAll('−', '-').replaceAll(',', '.');
  if (text === '' || !/^[-+]?[\d./\s°]*$/.test(text)) return typed.trim(); // it has its own unit
  if (unit === 'in' || unit === 'thou') return `${text} ${unit}`;
  if (unit === "°'" && text.includes('°') && !text.endsWith('°')) return `${text}'`;
  return text;
}

// The keys beside the digits, by unit: a blank and a stroke make sixteenths.
export function extraKeys(unit: LengthUnit | AngleUnit): string[] {
  if (unit === 'in') return [' ', '/'];
  if (unit === "°'") return ['°'];
  return [];
}

export type Key = string; // a digit, '.', '-', ' ', '/', '°', 'back' or 'clear'

// The text after a key: the sign turns round, everything else is put at the end.
export function afterKey(text: string, key: Key): string {
  if (key === 'clear') return '';
  if (key === 'back') return text.slice(0, -1);
  if (key === '-') return text.startsWith('-') ? text.slice(1) : `-${text}`;
  if (key === '.' && (/[\d.]*$/.exec(text)?.[0] ?? '').includes('.')) return text;
  if (text.length >= 12) return text;
  return text + key;
}
