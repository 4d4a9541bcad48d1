// Which sheet of paper a drawing fills: the class that gives it a page of its own.
export function paperClass(svg: string): string {
  const width = Number(/<svg[^>]*\swidth="([\d.]+)mm"/.exec(svg)?.[1] ?? 0);
  if (width > 290) return 'own-page a4-wide';
  if (width > 270) return 'own-page letter-wide';
  return width > 212 ? 'own-page letter' : 'own-page a4';
}
