// A real keyboard while a card is being entered: what is typed then is not put into the old card's
// field but pressed, for the card that follows.
export function aheadOf(event: KeyboardEvent, busy: boolean, press: (key: string) => void): void {
  if (!busy || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === 'Backspace') press('back');
  else if (event.key.length === 1) press(event.key);
  else if (event.key !== 'Enter') return;
  event.preventDefault();
}
