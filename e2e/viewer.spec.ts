import type { CDPSession, Locator, Page } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** Figure 3-02 of the demo, the flail rotor: 21 numbers on a wide sheet, one of them with a serial break. */
async function openRotor(page: Page, query = ''): Promise<void> {
  await signIn(page, 'Jory Penhale')
  await page.goto('/models')
  await page.getByRole('link', { name: 'Stourleigh FM 180' }).click()
  await page.getByRole('link', { name: /3-02/ }).click()
  await expect(page.getByRole('group', { name: /Figure 3-02/ })).toBeVisible()
  if (query !== '') await page.goto(`${page.url()}${query}`)
  await expect(page.getByRole('button', { name: 'Zoom in' })).toBeVisible()
}

const frameOf = (page: Page) => page.getByRole('group', { name: /Figure 3-02/ })
const numberOf = (page: Page, item: string) => frameOf(page).locator(`button[data-item="${item}"]`).first()

async function boxOf(one: Locator): Promise<{ x: number; y: number; width: number; height: number }> {
  const box = await one.boundingBox()
  if (!box) throw new Error('it is not on the screen')
  return box
}

async function centreOf(one: Locator): Promise<{ x: number; y: number }> {
  const { x, y, width, height } = await boxOf(one)
  return { x: x + width / 2, y: y + height / 2 }
}

/** How large the drawing is: the distance of two numbers on the screen, CSS pixels. */
async function spread(page: Page): Promise<number> {
  const [a, b] = [await centreOf(numberOf(page, '1')), await centreOf(numberOf(page, '16'))]
  return Math.hypot(a.x - b.x, a.y - b.y)
}

/** After the last step of a zoom the drawing is laid out anew; until then numbers may still move. */
async function atRest(page: Page): Promise<void> {
  let before = -1
  await expect
    .poll(async () => {
      const now = await spread(page)
      const still = Math.abs(now - before) < 0.01
      before = now
      return still
    })
    .toBe(true)
}

async function fingers(cdp: CDPSession, type: 'touchStart' | 'touchMove' | 'touchEnd', points: [number, number][]) {
  await cdp.send('Input.dispatchTouchEvent', {
    type,
    touchPoints: points.map(([x, y], id) => ({ x: Math.round(x), y: Math.round(y), id })),
  })
}

test('a drawing opens with all its numbers in sight, on a phone large enough to press and all of it one press away', async ({
  page,
  isMobile,
}) => {
  await page.addInitScript(() => {
    const shifts: number[] = []
    Object.assign(window, { shifts })
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) shifts.push((entry as PerformanceEntry & { value: number }).value)
    }).observe({ type: 'layout-shift', buffered: true })
  })
  await openRotor(page)
  await atRest(page)
  await page.reload()
  await expect(page.getByRole('button', { name: 'Zoom in' })).toBeVisible()
  await atRest(page)
  // What the style sheet reckons before any script runs is what the script reckons: nothing moves.
  expect(await page.evaluate(() => (window as unknown as { shifts: number[] }).shifts)).toEqual([])
  // WCAG 2.2, success criterion 2.5.8: targets of 24 CSS pixels.
  for (const item of ['7', '8', '9', '10', '11', '15']) {
    const box = await boxOf(numberOf(page, item))
    expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(24)
    // Beside a list there is room for all of it: where numbers stand close, the mouse takes the nearest.
    if (isMobile) expect(await numberOf(page, item).evaluate((one) => getComputedStyle(one).pointerEvents)).toBe('auto')
  }
  if (!isMobile) {
    const frame = await boxOf(frameOf(page))
    for (const number of await frameOf(page).locator('button[data-item]').all()) {
      const box = await boxOf(number)
      expect(box.x).toBeGreaterThan(frame.x + 4)
      expect(box.y).toBeGreaterThan(frame.y + 4)
      expect(box.x + box.width).toBeLessThan(frame.x + frame.width - 4)
      expect(box.y + box.height).toBeLessThan(frame.y + frame.height - 4)
    }
    for (const item of ['1', '9', '10', '21']) {
      const at = await centreOf(numberOf(page, item))
      await page.mouse.click(at.x, at.y)
      await expect(numberOf(page, item)).toHaveAttribute('aria-pressed', 'true')
    }
  }
  const opened = await spread(page)
  const whole = page.getByRole('button', { name: 'Whole drawing' })
  if (isMobile) {
    await whole.click()
    await atRest(page)
    expect(await spread(page)).toBeLessThan(opened / 1.5)
    const frame = await boxOf(frameOf(page))
    for (const item of ['1', '3', '16', '18', '21']) {
      const at = await centreOf(numberOf(page, item))
      expect(at.x).toBeGreaterThan(frame.x)
      expect(at.x).toBeLessThan(frame.x + frame.width)
    }
    await page.getByRole('button', { name: 'Read numbers' }).click()
    await atRest(page)
    expect(Math.abs((await spread(page)) - opened)).toBeLessThan(1)
  }
  await expectGoodScreen(page)
})

test('two fingers apart enlarge the drawing about the point between them', async ({ page, isMobile }) => {
  test.skip(!isMobile, 'needs a touch screen')
  await openRotor(page)
  await atRest(page)
  const before = await spread(page)
  const cdp = await page.context().newCDPSession(page)
  const { x, y } = await centreOf(numberOf(page, '7'))
  await fingers(cdp, 'touchStart', [
    [x - 30, y],
    [x + 30, y],
  ])
  for (let apart = 35; apart <= 60; apart += 5)
    await fingers(cdp, 'touchMove', [
      [x - apart, y],
      [x + apart, y],
    ])
  await fingers(cdp, 'touchEnd', [])
  await atRest(page)
  expect((await spread(page)) / before).toBeGreaterThan(1.7)
  expect((await spread(page)) / before).toBeLessThan(2.2)
  // What lay between the fingers still lies there.
  const after = await centreOf(numberOf(page, '7'))
  expect(Math.hypot(after.x - x, after.y - y)).toBeLessThan(16)
  // A pinch chooses nothing.
  await expect(numberOf(page, '7')).toHaveAttribute('aria-pressed', 'false')

  // And together again.
  const enlarged = await spread(page)
  await fingers(cdp, 'touchStart', [
    [x, y - 60],
    [x, y + 60],
  ])
  for (let apart = 55; apart >= 30; apart -= 5)
    await fingers(cdp, 'touchMove', [
      [x, y - apart],
      [x, y + apart],
    ])
  await fingers(cdp, 'touchEnd', [])
  await atRest(page)
  expect((await spread(page)) / enlarged).toBeLessThan(0.6)
  // The browser's own pinch, with the slop of a real finger; the page around the drawing is not enlarged.
  const small = await spread(page)
  await cdp.send('Input.synthesizePinchGesture', { x: Math.round(x), y: Math.round(y), scaleFactor: 2 })
  await atRest(page)
  expect((await spread(page)) / small).toBeGreaterThan(1.2)
  expect(await page.evaluate(() => window.visualViewport?.scale)).toBe(1)
})

test('two taps on one spot go closer, one tap takes the nearest number', async ({ page, isMobile }) => {
  test.skip(!isMobile, 'needs a touch screen')
  await openRotor(page)
  await atRest(page)
  const before = await spread(page)
  const cdp = await page.context().newCDPSession(page)
  const frame = await boxOf(frameOf(page))
  const tap = async (x: number, y: number) => {
    await fingers(cdp, 'touchStart', [[x, y]])
    await fingers(cdp, 'touchEnd', [])
  }
  // Blank paper in the upper right corner of the window.
  await tap(frame.x + frame.width - 30, frame.y + 40)
  await tap(frame.x + frame.width - 28, frame.y + 41)
  await atRest(page)
  expect((await spread(page)) / before).toBeGreaterThan(2)
  await page.getByRole('button', { name: 'Whole drawing' }).click()
  await page.getByRole('button', { name: 'Read numbers' }).click()
  await atRest(page)
  const seven = await centreOf(numberOf(page, '9'))
  await tap(seven.x + 2, seven.y - 18)
  await expect(numberOf(page, '9')).toHaveAttribute('aria-pressed', 'true')
  // At a glance where the thumb is, without scrolling; from there in full.
  const atThumb = page.locator('a[href="#chosen-part"]')
  await expect(atThumb).toContainText(/Ball bearing.*on shelf/)
  await expect(atThumb).toBeInViewport({ ratio: 1 })
  await atThumb.click()
  await expect(page.getByRole('region', { name: 'Chosen part' }).getByRole('heading')).toBeInViewport()
  await expect(page.getByRole('region', { name: 'Chosen part' })).toContainText('Ball bearing')
})

test('one finger moves the drawing', async ({ page, isMobile }) => {
  test.skip(!isMobile, 'needs a touch screen')
  await openRotor(page)
  await atRest(page)
  const cdp = await page.context().newCDPSession(page)
  const frame = await boxOf(frameOf(page))
  const [x, y] = [frame.x + frame.width / 2, frame.y + 60]
  const before = await centreOf(numberOf(page, '7'))
  await fingers(cdp, 'touchStart', [[x, y]])
  for (let step = 1; step <= 6; step++) await fingers(cdp, 'touchMove', [[x - 10 * step, y]])
  await fingers(cdp, 'touchEnd', [])
  await atRest(page)
  const after = await centreOf(numberOf(page, '7'))
  expect(Math.abs(after.x - (before.x - 60))).toBeLessThan(2)
})

test('the wheel enlarges what lies under the mouse, and scrolls the page when the drawing is whole', async ({
  page,
  isMobile,
}) => {
  test.skip(isMobile, 'needs a mouse')
  await openRotor(page)
  await atRest(page)
  const whole = await centreOf(numberOf(page, '9'))
  const before = await spread(page)
  await page.mouse.move(whole.x, whole.y)
  for (let notch = 0; notch < 4; notch++) await page.mouse.wheel(0, -100)
  await atRest(page)
  expect((await spread(page)) / before).toBeGreaterThan(1.6)
  // From here the sheet fills the window; before, it stayed in the middle of it.
  const { x, y } = await centreOf(numberOf(page, '9'))
  await page.mouse.move(x, y)
  for (let notch = 0; notch < 2; notch++) await page.mouse.wheel(0, -100)
  await atRest(page)
  const after = await centreOf(numberOf(page, '9'))
  expect(Math.hypot(after.x - x, after.y - y)).toBeLessThan(4)
  // The glance beside the number says what the shelf has, before anything is chosen.
  await page.mouse.move(x + 1, y + 1)
  await expect(frameOf(page).getByText(/Ball bearing/)).toBeVisible()
  await expect(frameOf(page).getByText(/on shelf|free/)).toBeVisible()
  await expect(numberOf(page, '9')).toHaveAttribute('aria-pressed', 'false')

  await frameOf(page).focus()
  await page.keyboard.press('0')
  await atRest(page)
  const scrolled = await page.evaluate(() => window.scrollY)
  await page.mouse.wheel(0, 200)
  await expect.poll(() => page.evaluate(() => window.scrollY)).toBeGreaterThan(scrolled)
})

test('digits jump to a number, plus, minus and arrows move the drawing, brackets turn the page', async ({ page }) => {
  await openRotor(page)
  await atRest(page)
  await frameOf(page).focus()
  const before = await spread(page)
  await page.keyboard.press('+')
  await atRest(page)
  expect((await spread(page)) / before).toBeCloseTo(1.4, 1)
  await page.keyboard.press('-')
  await atRest(page)
  expect((await spread(page)) / before).toBeCloseTo(1, 1)
  const at = await centreOf(numberOf(page, '7'))
  await page.keyboard.press('+')
  await page.keyboard.press('ArrowRight')
  await page.keyboard.press('ArrowRight')
  await atRest(page)
  expect((await centreOf(numberOf(page, '7'))).x).not.toBeCloseTo(at.x, 0)
  await page.keyboard.press('f')
  await expect(page.getByRole('button', { name: /^Whole/ })).toHaveCount(0)

  // 1 then 2 is twelve; the number is brought into view, chosen and named in the address.
  await page.keyboard.press('1')
  await page.keyboard.press('2')
  await expect(numberOf(page, '12')).toHaveAttribute('aria-pressed', 'true')
  await expect(numberOf(page, '12')).toBeFocused()
  await expect(page).toHaveURL(/item=12/)
  // A nought behind a digit belongs to it.
  await page.waitForTimeout(1000)
  await page.keyboard.press('2')
  await page.keyboard.press('0')
  await expect(numberOf(page, '20')).toHaveAttribute('aria-pressed', 'true')

  const first = page.url()
  await page.keyboard.press(']')
  await expect(page).not.toHaveURL(first.replace(/\?.*/, ''))
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText('Rotor and knives')
  await page.getByRole('group', { name: /^Figure / }).focus()
  await page.keyboard.press('[')
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Rotor and knives')
  await page.getByRole('link', { name: /^Next figure/ }).click()
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText('Rotor and knives')
})

test('a link to a callout opens with it chosen and in the middle', async ({ page, context }) => {
  await context.grantPermissions(['clipboard-read', 'clipboard-write'])
  await openRotor(page, '?item=21')
  await atRest(page)
  await expect(numberOf(page, '21')).toHaveAttribute('aria-pressed', 'true')
  const frame = await boxOf(frameOf(page))
  const at = await centreOf(numberOf(page, '21'))
  expect(at.x).toBeGreaterThan(frame.x)
  expect(at.x).toBeLessThan(frame.x + frame.width)
  expect(at.y).toBeGreaterThan(frame.y)
  expect(at.y).toBeLessThan(frame.y + frame.height)
  await page.getByRole('button', { name: 'Item 3, show on the drawing' }).click()
  await page.getByRole('button', { name: 'Copy link' }).click()
  await expect(page.getByText('Link to item 3 copied.')).toBeVisible()
  expect(await page.evaluate(() => navigator.clipboard.readText())).toMatch(/\/models\/\d+\/figures\/\d+\?.*item=3$/)
})

test('a figure and its list go on one or two sheets of A4', async ({ page, isMobile }) => {
  test.skip(isMobile, 'one paper is enough')
  test.setTimeout(120_000)
  await openRotor(page)
  const machine = page.getByLabel('Machine in hand')
  await machine.selectOption({ index: 1 })
  await page.getByRole('button', { name: 'Show its lines' }).click()
  await page.getByRole('link', { name: 'Print' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('3-02 Rotor and knives')
  await expect(page.getByText(/S\/N \S+/).first()).toBeVisible()
  await expectGoodScreen(page)
  const book = page.url()
  await page.goto('/models')
  const models = await page.locator('main table a').evaluateAll((links) => links.map((one) => one.getAttribute('href')))
  const sheets: Record<string, number> = {}
  for (const model of models.slice(0, 4)) {
    await page.goto(model!)
    const figure = await page.locator('main a[href*="/figures/"]').first().getAttribute('href')
    await page.goto(figure!.replace(/(\?.*)?$/, '/print'))
    await page.locator('main img').first().waitFor()
    await page.waitForLoadState('networkidle')
    sheets[figure!] = pagesOf(await page.pdf({ preferCSSPageSize: true }))
  }
  await page.goto(book)
  await page.waitForLoadState('networkidle')
  const paper = await page.pdf({ preferCSSPageSize: true })
  sheets[book] = pagesOf(paper)
  expect(Object.entries(sheets).filter(([, count]) => count < 1 || count > 2)).toEqual([])
  // A4 is 210 x 297 mm (ISO 216): 595 x 842 points.
  expect(paper.toString('latin1')).toMatch(/\/MediaBox \[\s*0 0 59[45](\.\d+)? 84[12](\.\d+)?\s*\]/)
})

/** Page objects of a PDF (ISO 32000-1, 7.7.3.3). */
function pagesOf(pdf: Buffer): number {
  return (pdf.toString('latin1').match(/\/Type\s*\/Page(?![a-zA-Z])/g) ?? []).length
}

test('two serial numbers side by side show what only one machine has', async ({ page }) => {
  await openRotor(page)
  await page.getByRole('link', { name: /^Compare/ }).click()
  await expect(page.getByText('Choose a machine or type a serial number on both sides.')).toBeVisible()
  await page.getByLabel('or serial number').first().fill('1200')
  await page.getByLabel('or serial number').last().fill('1600')
  await page.getByRole('button', { name: 'Compare' }).click()
  await expect(page.getByRole('main').getByRole('status')).toContainText(
    '1 only on A (S/N 1200), 1 only on B (S/N 1600)',
  )
  await expect(page.getByRole('row').filter({ hasText: 'only A' })).toContainText('up to 1499')
  await expect(page.getByRole('row').filter({ hasText: 'only B' })).toContainText('from 1500')
  await expect(page).toHaveURL(/serialA=1200.*serialB=1600/)
  await expectGoodScreen(page)
})
