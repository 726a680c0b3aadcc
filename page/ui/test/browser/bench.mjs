// How long a person waits: from a pointer event on a slider to the end of the
// plot's draw while a spread runs, the first page, and how much the interface
// weighs. Prints figures; fails nothing. On a machine that does other work only
// the least ones tell of the program.

import { readFile, readdir } from 'node:fs/promises'
import { loadavg } from 'node:os'
import path from 'node:path'
import { gzipSync } from 'node:zlib'
import { browse, open, root, serve } from './stage.mjs'

const moves = 400
const frame = 1000 / 60

const browser = await browse()
let server
try {
  say('load of the machine, one minute', loadavg()[0].toFixed(1))
  await weigh()
  const { page } = await open(browser, { viewport: { width: 1280, height: 900 } })
  await page.addInitScript(watch)
  server = await firstPage(page)
  await drag(page)
} finally {
  await browser.close()
  await server?.end()
}

/** In the page: when pointers moved, when curves were asked for, when drawn. */
function watch() {
  const log = (globalThis.log = { moved: [], asked: [], drawn: [] })
  addEventListener('pointermove', (e) => e.buttons > 0 && log.moved.push({ at: performance.now(), stamp: e.timeStamp }), true)
  const real = fetch
  globalThis.fetch = async (...args) => {
    const isCurve = String(args[0]).endsWith('/ask/predict') && String(args[1]?.body).includes('"moving":true')
    if (!isCurve) return real(...args)
    const asked = { at: performance.now(), back: Infinity }
    log.asked.push(asked)
    const response = await real(...args)
    asked.back = performance.now()
    return response
  }
  globalThis.listed = new Promise((when) => {
    const look = () => {
      if (document.querySelector('button[aria-label^="Open "]') !== null) when(performance.now())
      else requestAnimationFrame(look)
    }
    requestAnimationFrame(look)
  })
  new PerformanceObserver((list) => {
    for (const e of list.getEntriesByName('bandwright.drawn')) log.drawn.push(e.startTime)
  }).observe({ type: 'mark' })
}

async function weigh() {
  const dist = path.join(root, 'page', 'ui', 'dist')
  const files = (await readdir(dist, { recursive: true })).filter((f) => /\.(js|css|html|svg)$/.test(f))
  let bytes = 0
  for (const f of files) bytes += gzipSync(await readFile(path.join(dist, f)), { level: 9 }).length
  say('interface, compressed', `${(bytes / 1000).toFixed(1)} kB`, '250 kB')
}

/** The browser is open and at rest, as a person's is; the program starts. */
async function firstPage(page) {
  await page.goto('data:text/html,<title>at rest</title><p>at rest</p>')
  await page.evaluate(atRest)
  const server = await serve({ demo: true })
  await page.goto(server.address)
  await page.getByRole('button', { name: /^Open / }).first().waitFor()
  const [shown, listed] = await page.evaluate(async () => {
    const first = performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN
    return [first, await globalThis.listed]
  })
  say('program started to address printed', `${server.milliseconds.toFixed(0)} ms`)
  say('address to first picture', `${shown.toFixed(0)} ms`)
  say('start to first page', `${(server.milliseconds + shown).toFixed(0)} ms`, '300 ms')
  say('start to the jobs listed', `${(server.milliseconds + listed).toFixed(0)} ms`)
  return server
}

/** In the page: half a second of frames in a row that none was late for. */
async function atRest() {
  const frame = () => new Promise((next) => requestAnimationFrame(next))
  for (let inTime = 0, last = await frame(); inTime < 30; ) {
    const now = await frame()
    inTime = now - last < 20 ? inTime + 1 : 0
    last = now
  }
}

async function drag(page) {
  await page.getByRole('button', { name: /^Open / }).first().click()
  await page.getByRole('navigation').getByRole('button', { name: 'Bands' }).click()
  const slider = page.getByRole('slider', { name: 'Slider 400' })
  await slider.waitFor()
  await page.waitForFunction(() => /dB/.test(document.querySelector('output')?.textContent ?? ''))
  await page.evaluate(startSpread)
  await page.waitForFunction(() => globalThis.spread.done > 0)
  const before = await page.evaluate(() => globalThis.spread.done)
  const box = await slider.boundingBox()
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.move(x, y)
  await page.mouse.down()
  for (let i = 0; i < moves; i++) {
    await page.mouse.move(x, y + (box.height / 3) * Math.sin(i / 12))
    await page.evaluate(() => new Promise((next) => requestAnimationFrame(next))) // a hand moves once a frame
  }
  await page.mouse.up()
  const { log, spread } = await page.evaluate(() => ({ log: globalThis.log, spread: globalThis.spread }))
  if (spread.ended) throw new Error('bench: the spread came to its end before the drag')
  report(log)
  say('builds made meanwhile', `${spread.done - before}`)
}

/** In the page: a spread that outlasts the drag. */
function startSpread() {
  const spread = (globalThis.spread = { done: 0, ended: false })
  const job = decodeURIComponent(location.hash.slice(1))
  const ask = async () => {
    const response = await fetch('api/ask/spread', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Accept: 'text/event-stream' },
      body: JSON.stringify({ job, count: 4000000 }),
    })
    const reader = response.body.pipeThrough(new TextDecoderStream()).getReader()
    for (;;) {
      const { value, done } = await reader.read()
      if (done) break
      for (const m of value.matchAll(/"done":\s*(\d+)/g)) spread.done = Number(m[1])
    }
    spread.ended = true
  }
  void ask()
}

/** An event is answered by the first curve asked for after it, once drawn. */
function report({ moved, asked, drawn }) {
  const waits = moved.flatMap(({ at, stamp }) => {
    const question = asked.find((a) => a.at >= at)
    const end = question && drawn.find((d) => d >= question.back)
    return end === undefined ? [] : [{ delivered: end - at, stamped: end - stamp, server: question.back - question.at }]
  })
  if (waits.length < moved.length / 2) throw new Error(`bench: ${waits.length} of ${moved.length} events were drawn`)
  const at = (key, share) => waits.map((w) => w[key]).sort((a, b) => a - b)[Math.floor(share * (waits.length - 1))]
  const line = (key) => `least ${at(key, 0).toFixed(1)}, median ${at(key, 0.5).toFixed(1)}, 95 % ${at(key, 0.95).toFixed(1)}, most ${at(key, 1).toFixed(1)} ms`
  say(`pointer event to drawn curve, ${waits.length} events`, line('delivered'), `95 % ${frame.toFixed(1)} ms`)
  say('  from the event’s own time stamp', line('stamped'))
  say('  of it question to answer', line('server'))
}

function say(what, figure, goal = '') {
  console.log(`${what.padEnd(46)} ${figure}${goal === '' ? '' : `   (goal ${goal})`}`)
}
