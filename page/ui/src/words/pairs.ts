// What a list of pairs says: see ticket/Pairs.svelte.

export interface PairWords {
  title: string
  heads: [string, string]
  fresh: [string, string] // what the empty boxes ask for
  of: [(n: number) => string, (n: number) => string] // what the boxes of a row are
  add: string
  added: (first: string) => string
  remove: string
  removeNamed: (first: string) => string
}
