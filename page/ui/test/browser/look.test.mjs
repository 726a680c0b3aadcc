// Every step of the demo job on paper, in the dark and on a phone: the
// accessibility engine finds nothing, nothing runs off the side, and a picture
// of each is kept to be looked at.

import assert from 'node:assert/strict'
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { after, before, test } from 'node:test'
import { browse, open, picture, serve } from './stage.mjs'

const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

const steps = ['Ticket', 'Bands', 'Parts', 'Curves', 'Hand-over']
const metal = ['Boards'] // of the job that has a panel and a tab
const wired = ['Wiring', 'Ohms', 'Volts'] // of the finished job, which has a harness and a feed
const looks = [
  ['light', { colorScheme: 'light', viewport: { width: 1280, height: 900 } }],
  ['dark', { colorScheme: 'dark', viewport: { width: 1280, height: 900 } }],
  ['phone', { colorScheme: 'light', viewport: { width: 375, height: 740 }, hasTouch: true, isMobile: true }],
  ['phone-dark', { colorScheme: 'dark', viewport: { width: 375, height: 740 }, hasTouch: true, isMobile: true }],
]

let server, finished, sheet, browser

before(async () => {
  server = await serve({ demo: true })
  finished = await serve({ job: 'done.toml' })
  sheet = await serve({ job: 'metal.toml' })
  browser = await browse()
})

after(async () => {
  await browser?.close()
  await server?.end()
  await finished?.end()
  await sheet?.end()
})

/** What must be there before a step is looked at. */
const ready = {
  Ticket: (page) => page.getByRole('heading', { name: 'Fitting list' }).waitFor(),
  Bands: async (page) => {
    await page.getByRole('button', { name: 'Change the parts of band 400' }).waitFor()
    await page.waitForFunction(() => /dB/.test(document.querySelector('output')?.textContent ?? ''))
    await page.getByRole('group', { name: 'Lay over' }).waitFor()
    await page.getByRole('listitem').filter({ hasText: 'measured, unit A' }).waitFor()
  },
  Parts: (page) => page.getByRole('table', { name: /Parts at hand/ }).waitFor(),
  Boards: async (page) => {
    await page.getByRole('table', { name: /^Drill in this order/ }).waitFor()
    await page.getByRole('table', { name: /^The tongues and their slots/ }).waitFor()
    await page.waitForFunction(() => document.images.length === 4 && [...document.images].every((i) => i.complete && i.naturalWidth > 0))
  },
  Wiring: (page) => page.getByRole('heading', { name: 'Cut list' }).waitFor(),
  Ohms: (page) => page.getByRole('heading', { name: 'Ohms' }).waitFor().then(() => page.getByText(/lines? catch/).waitFor()),
  Volts: async (page) => {
    await page.getByRole('radio', { name: 'mains' }).check()
    await page.getByRole('heading', { name: 'Read the rail first' }).waitFor()
    await page.getByRole('heading', { name: 'The zener open' }).waitFor()
  },
  Curves: async (page) => {
    await page.getByRole('listitem').filter({ hasText: /^2500: .*beyond the limits/ }).waitFor()
    await page.getByRole('radio', { name: 'B', exact: true }).check()
    await page.getByRole('heading', { name: 'Why unit B differs from what is predicted' }).waitFor()
    await page.getByText('The shares as a table').click()
    await page.getByRole('button', { name: 'Find the values' }).click()
    await page.getByRole('table', { name: /^As found/ }).waitFor()
    await page.getByRole('button', { name: 'Find the trims' }).click()
    await page.getByRole('table', { name: 'What comes of it' }).waitFor()
  },
  'Hand-over': async (page) => {
    await page.frameLocator('iframe').getByRole('heading', { name: 'Before a hand goes in' }).waitFor()
    await page.getByRole('button', { name: 'Hand-over: go to safety: leakage' }).waitFor()
  },
}

/** Violations of WCAG 2.2 A and AA and of good practice, one line each. */
async function violations(page) {
  await page.evaluate(axe)
  const found = await page.evaluate(() => globalThis.axe.run(document, { iframes: false, resultTypes: ['violations'] }))
  return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id} (${v.impact}): ${n.target.join(' ')} – ${n.failureSummary}`))
}

const wider = (page) => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)

/** What a finger must hit and is smaller than 44 pixels; a box counts with its
 * label, a link in a line of text not at all. */
const small = (page) =>
  page.evaluate(() => {
    const united = (boxes) => {
      const [left, top] = ['left', 'top'].map((side) => Math.min(...boxes.map((b) => b[side])))
      const [right, bottom] = ['right', 'bottom'].map((side) => Math.max(...boxes.map((b) => b[side])))
      return { width: right - left, height: bottom - top }
    }
    const targets = document.querySelectorAll('button, select, summary, textarea, input, [role=slider], .row > a')
    return [...targets].flatMap((target) => {
      if (target.closest('.unseen') || !target.checkVisibility() || target.type === 'file') return []
      const reach = target.closest('label, td.barred') ?? target
      const { width, height } = united([target, reach, ...(target.labels ?? [])].map((e) => e.getBoundingClientRect()))
      if (width > 43.5 && height > 43.5) return []
      return [`${target.tagName} ${target.className} "${target.ariaLabel ?? target.textContent.trim().slice(0, 30)}" ${width.toFixed(0)} by ${height.toFixed(0)}`]
    })
  })

for (const [look, options] of looks) {
  test(`the jobs, ${look}`, async () => {
    const { context, page, complaints } = await open(browser, options)
    await page.goto(server.address)
    await page.getByRole('button', { name: /^Open / }).first().waitFor()
    await picture(page, `jobs-${look}`)
    assert.deepEqual(await violations(page), [])
    await page.getByRole('button', { name: 'New job' }).click()
    await page.getByLabel('What is the job called?').waitFor()
    await picture(page, `new-${look}`)
    assert.deepEqual(await violations(page), [])
    assert.equal(await wider(page), 0, 'the page runs off the side')
    if (options.hasTouch) assert.deepEqual(await small(page), [])
    assert.deepEqual(complaints, [])
    await context.close()
  })

  for (const [of, from, walked] of [
    ['every step', () => server, steps],
    ['the metal', () => sheet, metal],
    ['the harness and the feed', () => finished, wired],
  ]) {
    test(`${of}, ${look}`, async (t) => {
      const { context, page, complaints } = await open(browser, options)
      await page.goto(from().address)
      await page.getByRole('button', { name: /^Open / }).first().click()
      for (const step of walked) {
        await t.test(step, async () => {
          await page.getByRole('navigation').getByRole('button', { name: step }).click()
          await ready[step](page)
          await picture(page, `${step.toLowerCase()}-${look}`)
          assert.deepEqual(await violations(page), [])
          assert.ok((await wider(page)) <= 0, 'the page runs off the side')
          if (options.hasTouch) assert.deepEqual(await small(page), [])
        })
      }
      assert.deepEqual(complaints, [])
      await context.close()
    })
  }
}
