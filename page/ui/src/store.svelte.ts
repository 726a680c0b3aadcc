// Holds the one state and lets Svelte see it change.

import { first, reduce, type Action, type State } from './state'

let current = $state.raw<State>(first)
const watchers = new Set<(now: State, before: State, action: Action) => void>()

/** The state as it stands; read it inside markup or $derived to follow it. */
export const app = {
  get state(): State {
    return current
  },
}

/** The one way to change it. */
export function dispatch(action: Action): void {
  const before = current
  current = reduce(before, action)
  for (const tell of watchers) tell(current, before, action)
}

/** Calls after every action, for effects; the return value ends it. */
export function watch(tell: (now: State, before: State, action: Action) => void): () => void {
  watchers.add(tell)
  return () => watchers.delete(tell)
}
