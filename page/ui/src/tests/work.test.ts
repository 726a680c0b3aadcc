// The page and its disk, with tabs that die and other hands that write: what
// was seen as saved is never lost, and nothing is written over unseen.

import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import type { Edit } from '../types'

vi.setConfig({ testTimeout: 120_000 }) // every tab reads its modules anew

/** A server with one job, and where it may fail. */
class Server {
  text = 'start'
  count = 0
  down = false
  copies: string[] = []
  history = ['start']

  get version(): string {
    return `v${this.count}`
  }

  put(text: string): void {
    this.text = text
    this.count++
    this.history.push(text)
  }

  async answer(path: string, init: RequestInit = {}): Promise<Response> {
    if (this.down) throw new TypeError('no server')
    const body = typeof init.body === 'string' ? JSON.parse(init.body) : {}
    const say = (x: unknown, status = 200): Response => new Response(JSON.stringify(x), { status })
    const view = { title: 't', invented: true, band: [] }
    if (path === '/api/jobs') return say([])
    if (path === '/api/edit') {
      const text = body.text + (body.edits as Edit[]).map((e) => e.value).join('')
      return say({ text, job: view, findings: [] })
    }
    if (path === '/api/jobs/job/duplicate') return say({ id: 'copy' })
    if (path === '/api/jobs/copy') {
      if (init.method === 'PUT') this.copies.push(body.text)
      return say({ id: 'copy', text: this.copies.at(-1) ?? this.text, version: 'c', job: view, findings: [] })
    }
    if (path !== '/api/jobs/job') return say({}, 404)
    if (init.method !== 'PUT') return say({ id: 'job', text: this.text, version: this.version, job: view, findings: [] })
    if (body.version !== this.version) return say({}, 409)
    this.put(body.text)
    return say({ version: this.version })
  }
}

let server: Server
let shelf: Map<string, string>

beforeEach(() => {
  vi.useFakeTimers()
  server = new Server()
  shelf = new Map()
  vi.stubGlobal('localStorage', {
    get length() {
      return shelf.size
    },
    key: (i: number) => [...shelf.keys()][i] ?? null,
    getItem: (k: string) => shelf.get(k) ?? null,
    setItem: (k: string, v: string) => void shelf.set(k, v),
    removeItem: (k: string) => void shelf.delete(k),
  })
  vi.stubGlobal('addEventListener', () => {})
  vi.stubGlobal('location', { hash: '', pathname: '/' })
  vi.stubGlobal('history', { replaceState: () => {} })
})

afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

/** A new tab; the one before is dead: nothing it still does reaches anything. */
async function tab() {
  vi.clearAllTimers()
  vi.resetModules()
  vi.stubGlobal('fetch', (path: string, init?: RequestInit) => server.answer(path, init))
  const work = await import('../work')
  const store = await import('../store.svelte')
  const state = await import('../state')
  work.start()
  await vi.advanceTimersByTimeAsync(1)
  await work.openJob('job')
  const open = () => store.app.state.open!
  return {
    ...work,
    open,
    type: (value: string) => work.change([{ path: ['x'], value }], 'typed'),
    stands: () => state.draftOf(open()).text,
    rest: () => vi.advanceTimersByTimeAsync(10_000),
    atRest: () => state.atRest(open()),
  }
}

test('an edit is on the disk soon after, and the mirror is empty then', async () => {
  const t = await tab()
  await t.type('+a')
  expect([...shelf.keys()].length).toBe(1)
  await t.rest()
  expect([server.text, t.atRest(), shelf.size]).toEqual(['start+a', true, 0])
})

test('a tab that dies before it could save: the next one puts it back and saves it', async () => {
  await (await tab()).type('+a')
  const t = await tab()
  expect([t.stands(), t.open().restored]).toEqual(['start+a', true])
  await t.rest()
  expect([server.text, shelf.size]).toEqual(['start+a', 0])
  t.undo()
  await t.rest()
  expect(server.text).toBe('start')
})

test('a server that is away: what was done waits, and is saved when it is back', async () => {
  const t = await tab()
  server.down = true
  const { dispatch } = await import('../store.svelte')
  dispatch({ do: 'edit', from: 'start', draft: { text: 'start+a', view: null, findings: [], what: 'typed' } })
  await t.rest()
  expect([t.open().trouble !== null, shelf.size]).toEqual([true, 1])
  server.down = false
  await t.rest()
  expect([server.text, t.open().trouble, shelf.size]).toEqual(['start+a', null, 0])
})

test('another hand wrote meanwhile: nothing is written over, and a copy keeps mine', async () => {
  const t = await tab()
  server.put('theirs')
  await t.type('+mine')
  await t.rest()
  expect([server.text, t.open().conflict?.text]).toEqual(['theirs', 'theirs'])
  await t.keepCopy()
  expect([server.text, server.copies, t.open().id]).toEqual(['theirs', ['start+mine'], 'copy'])
})

test('a tab that dies while two hands differ: the next one asks again, twice over', async () => {
  let t = await tab()
  server.put('theirs')
  await t.type('+mine')
  await t.rest()
  for (let i = 0; i < 2; i++) {
    t = await tab()
    await t.rest()
    expect([server.text, t.stands(), t.open().conflict?.text]).toEqual(['theirs', 'start+mine', 'theirs'])
  }
  await t.takeDisk()
  expect(t.stands()).toBe('theirs')
  t.undo()
  expect(t.stands()).toBe('start+mine')
})

test('a job left with something unsaved is saved on the way out', async () => {
  const t = await tab()
  await t.type('+a')
  t.closeJob()
  await t.rest()
  expect([server.text, shelf.size]).toEqual(['start+a', 0])
})

test('at seeded moments of death, everything that was done is there', async () => {
  for (let seed = 1; seed <= 12; seed++) {
    server = new Server()
    shelf.clear()
    let x = seed
    const dice = (n: number): number => (x = (x * 48271) % 2147483647) % n
    let t = await tab()
    let want = 'start'
    for (let i = 0; i < 12; i++) {
      switch (dice(5)) {
        case 0:
          await vi.advanceTimersByTimeAsync(dice(400))
          break
        case 1:
          t = await tab()
          break
        default:
          await t.type(`+${i}`)
          want += `+${i}`
      }
      expect(t.stands(), `seed ${seed}`).toBe(want)
    }
    t = await tab()
    await t.rest()
    expect([server.text, t.open().conflict], `seed ${seed}`).toEqual([want, null])
  }
})
