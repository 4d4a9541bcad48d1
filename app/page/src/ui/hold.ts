// The view is held where it is while something above it changes its height.

// Before a change: what the hand is on, or the section being read. What comes back is called after
// the change, and scrolls by as much as that has moved.
export function heldView(touched: Element | null = null): () => void {
  const sheet = document.getElementById('sheet');
  const active = touched ?? document.activeElement;
  const seen = (e: Element) => {
    const box = e.getBoundingClientRect();
    return box.bottom > 0 && box.top < window.innerHeight;
  };
  const held =
    sheet && active && active !== sheet && sheet.contains(active) && seen(active)
      ? active
      : [...(sheet?.querySelectorAll(':scope > section') ?? [])].find(seen);
  if (!held || window.scrollY === 0) return () => {};
  // What is drawn anew is gone afterwards: then what it stood in is held.
  const chain: { element: Element; top: number }[] = [];
  for (let e: Element | null = held; e && e !== sheet; e = e.parentElement)
    chain.push({ element: e, top: e.getBoundingClientRect().top });
  return () => {
    const still = chain.find((c) => c.element.isConnected);
    if (!still) return;
    const moved = still.element.getBoundingClientRect().top - still.top;
    if (Math.abs(moved) > 0.5) window.scrollBy({ top: moved, behavior: 'instant' });
  };
}
