import { gzipSync } from 'node:zlib'
import { expect, signIn, test } from './support/workshop.ts'

/** Scripts that a phone with a weak signal waits for, kB gzip. */
const SCRIPTS_KB_MAX = 150

test('the figure page asks a phone for little script before it can be used', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/models')
  await page.getByRole('link', { name: 'Stourleigh FM 180' }).click()
  const figure = await page.getByRole('link', { name: /3-02/ }).getAttribute('href')
  const scripts = new Map<string, number>()
  const bodies: Promise<void>[] = []
  // Away from the app, so that nothing is left over from the page before.
  await page.goto('about:blank')
  page.on('response', (response) => {
    if (response.request().resourceType() !== 'script') return
    bodies.push(
      response.body().then((body) => {
        scripts.set(response.url(), gzipSync(body).byteLength)
      }),
    )
  })
  await page.goto(figure!, { waitUntil: 'networkidle' })
  await expect(page.getByRole('button', { name: 'Zoom in' })).toBeVisible()
  await Promise.all(bodies)
  const kilobytes = [...scripts.values()].reduce((sum, bytes) => sum + bytes, 0) / 1000
  // Well below, the page would not have loaded its scripts at all and the check would say nothing.
  expect(kilobytes).toBeGreaterThan(60)
  expect(kilobytes, [...scripts].map(([url, bytes]) => `${bytes} ${url}`).join('\n')).toBeLessThan(SCRIPTS_KB_MAX)
})
