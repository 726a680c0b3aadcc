// The keys that work everywhere on the page.

import { redo, undo } from './work'

/** Undo and redo as everywhere; fields of text keep their own. */
export function keyDown(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || ownsUndo(event.target)) return
  const key = event.key.toLowerCase()
  if (key === 'z' && !event.shiftKey) take(event, undo)
  else if (key === 'y' || (key === 'z' && event.shiftKey)) take(event, redo)
}

function take(event: KeyboardEvent, act: () => void): void {
  event.preventDefault()
  act()
}

function ownsUndo(target: EventTarget | null): boolean {
  return target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && target.type !== 'checkbox' && target.type !== 'radio')
}
