import { setTimeout as pause } from 'node:timers/promises'
import { type Browser, chromium, type Page } from '@playwright/test'
import sharp from 'sharp'
import { paths } from '../../app/paths.ts'
import { figureImport } from '../../lib/db/figure-import.ts'
import type { FigureFileInput } from '../../lib/figure/schema.ts'
import { randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import playwright from '../../playwright.config.ts'
import { cookieOf, servedStart } from '../support/served.ts'
import { percentile } from './clock.ts'
import type { Generated } from './generate.ts'
import type { Measured } from './report.ts'

const SCAN = { width: 6000, height: 8000 }
const CALLOUTS = 60
const SECONDS = 4
/** A screen of 60 Hz shows a picture every 16.7 ms; one that comes later than this was left out. */
const LATE_MS = 25

/**
 * A scan of 6,000 x 8,000 pixels moved by the mouse and enlarged by the wheel in a real browser, at the width of a desk and of a
 * phone: pictures a second that reach the page. Where the browser draws without a graphics card, as in most containers, its
 * own drawing is in it.
 */
export async function framesMeasure(dataDir: string, data: Generated): Promise<Measured[]> {
  const { figureId, modelId } = await scanImport(data.personId)
  const cookie = await cookieOf(data.personId, ['mechanic'])
  const served = await servedStart(dataDir)
  let browser: Browser | null = null
  try {
    browser = await chromium.launch(playwright.use?.launchOptions)
    const measured: Measured[] = []
    for (const [what, viewport] of [
      ['desk', { width: 1280, height: 800 }],
      ['phone', { width: 360, height: 740 }],
    ] as const) {
      const context = await browser.newContext({ viewport })
      const [name, value] = cookie.split('=') as [string, string]
      await context.addCookies([{ name, value, url: served.origin }])
      const page = await context.newPage()
      await page.goto(`${served.origin}${paths.figure(modelId, figureId)}`, { waitUntil: 'networkidle' })
      measured.push(...shown(`drag, ${what}`, await framesOf(page, drag)))
      measured.push(...shown(`wheel, ${what}`, await framesOf(page, wheel)))
      await context.close()
    }
    return measured
  } finally {
    await browser?.close()
    await served.kill()
  }
}

function shown(what: string, gaps: readonly number[]): Measured[] {
  const late = gaps.filter((gap) => gap > LATE_MS).length / gaps.length
  return [
    {
      what: `scan of 48 megapixels, ${what}, pictures`,
      unit: 'per second',
      measured: 1000 / percentile(gaps, 0.5),
      bar: { value: 59, is: 'at least' },
    },
    { what: '  of them late', unit: 'ratio', measured: late, bar: { value: 0.05, is: 'at most' } },
  ]
}

/** Runs in the page; a text, because functions are given helpers on their way through the compiler that the page does not know. */
const COUNTING = `{
  const seen = (window.benchSeen = { times: [], places: new Set() })
  const sheet = document.querySelector('[style*="translate("]')
  const next = (time) => {
    seen.times.push(time)
    seen.places.add(sheet.style.transform)
    if (seen.times.length < 4000) requestAnimationFrame(next)
  }
  requestAnimationFrame(next)
}`
const COUNTED = '({ times: window.benchSeen.times.splice(0), places: window.benchSeen.places.size })'

/** Milliseconds between the pictures of the page while `move` goes on; refuses when the drawing stood still meanwhile. */
async function framesOf(page: Page, move: (page: Page, box: Box) => Promise<void>): Promise<number[]> {
  const frame = page.getByRole('group', { name: /Figure 99-01/ })
  await frame.scrollIntoViewIfNeeded()
  const box = await frame.boundingBox()
  if (box === null) throw new Error('the drawing is not on the screen')
  // Once for the tiles, as of a sheet that was looked at before.
  await move(page, box)
  await page.waitForLoadState('networkidle')
  await page.evaluate(COUNTING)
  await move(page, box)
  const { times, places } = await page.evaluate<{ times: number[]; places: number }>(COUNTED)
  if (places < times.length / 3) throw new Error(`the drawing moved in ${places} of ${times.length} pictures only`)
  return times.slice(1).map((time, at) => time - times[at]!)
}

interface Box {
  x: number
  y: number
  width: number
  height: number
}

async function drag(page: Page, box: Box): Promise<void> {
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  // Close enough that the scan is seen pixel for pixel.
  await page.mouse.move(x, y)
  for (let step = 0; step < 6; step++) await page.mouse.wheel(0, -300)
  await page.waitForTimeout(400)
  await page.mouse.down()
  await steady((step) => {
    const turn = step / 40
    return page.mouse.move(x + Math.cos(turn) * box.width * 0.4, y + Math.sin(turn) * box.height * 0.4)
  })
  await page.mouse.up()
}

/** Out first: the drag left it at its closest, where a wheel goes on to scroll the page. */
async function wheel(page: Page, box: Box): Promise<void> {
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
  await steady((step) => page.mouse.wheel(0, Math.sin(step / 30) > 0 ? 8 : -8))
}

/** Sends a step every 8 ms, as a mouse does, and does not wait for the browser to have taken it. */
async function steady(send: (step: number) => Promise<void>): Promise<void> {
  const sent: Promise<void>[] = []
  const until = Date.now() + SECONDS * 1000
  for (let step = 0; Date.now() < until; step++) {
    sent.push(send(step))
    await pause(8)
  }
  await Promise.all(sent)
}

async function scanImport(personId: string): Promise<{ figureId: number; modelId: number }> {
  const random = randomSeeded('bench scan')
  const at = (most: number) => randomInteger(random, 100, most - 100)
  const strokes = Array.from(
    { length: 900 },
    () =>
      `<path d="M${at(SCAN.width)} ${at(SCAN.height)}q${at(900) - 450} ${at(900) - 450} ${at(1400) - 700} ${at(1400) - 700}"/>`,
  )
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${SCAN.width}" height="${SCAN.height}"><rect width="100%" height="100%" fill="#f4f1e8"/><g fill="none" stroke="#222" stroke-width="7">${strokes.join('')}</g></svg>`
  const bytes = await sharp(Buffer.from(svg), { limitInputPixels: false }).greyscale().jpeg({ quality: 85 }).toBuffer()
  const items = Array.from({ length: CALLOUTS }, (_, n) => String(n + 1))
  const file: FigureFileInput = {
    format: 'cotterbook-figure',
    version: 1,
    title: 'Scanned sheet',
    number: '99-01',
    model: { maker: 'Benchmaker', name: 'Scan 48' },
    picture: { file: 'scan.jpg', ...SCAN },
    callouts: items.map((item) => ({
      item,
      x: at(SCAN.width),
      y: at(SCAN.height),
      tips: [{ x: at(SCAN.width), y: at(SCAN.height) }],
    })),
    lines: items.map((item) => ({ item, description: `Part ${item}`, quantity: 1 })),
  }
  return figureImport(
    { key: 'bench-frames', personId, now: new Date() },
    { file, picture: { bytes, name: 'scan.jpg', mediaType: 'image/jpeg' }, name: 'the scan' },
  )
}
