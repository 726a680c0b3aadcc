// Holds the one state and lets Svelte see it change.

import { untrack } from 'svelte'
import { first, reduce, type Action, type State } from './state'

let current = $state.raw<State>(first)
const watchers = new Set<(now: State, before: State, action: Action) => void>()

/** The state as it stands; read it inside markup or $derived to follow it. */
export const app = {
  get state(): State {
    return current
  },
}

/** The one way to change it. An effect that dispatches does not thereby follow
 * the state: it would call itself for ever. */
export function dispatch(action: Action): void {
  untrack(() => {
    const before = current
    const now = reduce(before, action)
    current = now
    for (const tell of watchers) tell(now, before, action)
  })
}

/** Calls after every action, for effects; the return value ends it. */
export function watch(tell: (now: State, before: State, action: Action) => void): () => void {
  watchers.add(tell)
  return () => watchers.delete(tell)
}
