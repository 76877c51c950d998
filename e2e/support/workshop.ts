import { basename } from 'node:path'
import AxeBuilder from '@axe-core/playwright'
import { test as base, expect, type Page } from '@playwright/test'
import { OWN_ON_PHONE } from './widths.ts'

/** The demo's people; their PINs stand on the sign-in screen. */
export type Name =
  | 'Jory Penhale'
  | 'Wilf Tamsett'
  | 'Nell Arkwood'
  | 'Odile Brandreth'
  | 'Marit Quillbeck'
  | 'Sam Lutterby'

/** Any error in the browser's console fails the test, as a person would see a broken page. */
export const test = base.extend<{ quietConsole: undefined }>({
  quietConsole: [
    async ({ page }, use) => {
      const errors: string[] = []
      page.on('console', (message) => {
        if (message.type() === 'error' && !/status of 40[49]/.test(message.text())) errors.push(message.text())
      })
      page.on('pageerror', (error) => errors.push(error.message))
      await use(undefined)
      expect(errors).toEqual([])
    },
    { auto: true },
  ],
})

export async function signIn(page: Page, name: Name): Promise<void> {
  await page.goto('/sign-in')
  const row = page.getByRole('row').filter({ hasText: name })
  const pin = ((await row.getByRole('cell').nth(1).textContent()) ?? '').trim()
  await row.getByRole('link', { name }).click()
  await page.getByLabel(/PIN/).fill(pin)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Today')
}

/** One main heading, a title, and nothing wider than the window. */
export async function expectFits(page: Page): Promise<void> {
  await expect(page.getByRole('heading', { level: 1 })).toHaveCount(1)
  // After a move within the app the title arrives a moment after the page: axe, which does not wait, is not asked for it.
  await expect(page).toHaveTitle(/\S/)
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
  expect(wide, `${page.url()} is wider than the window`).toBeLessThanOrEqual(0)
}

/** The same, and no fault that axe finds; what the phone shows no otherwise than the desk is asked of axe at the desk alone. */
export async function expectGoodScreen(page: Page): Promise<void> {
  await expectFits(page)
  const { project, file } = base.info()
  if (project.name === 'phone' && !OWN_ON_PHONE.some((name) => basename(file) === `${name}.spec.ts`)) return
  // No screen holds a frame of another origin: without them no second page has to be opened to gather what was found.
  const axe = new AxeBuilder({ page }).setLegacyMode().options({ resultTypes: ['violations'] })
  const { violations } = await axe.disableRules(['document-title']).analyze()
  expect(
    violations.map(
      (one) =>
        `${page.url()} ${one.id}: ${one.nodes
          .map((node) => node.html)
          .join(' | ')
          .slice(0, 400)}`,
    ),
  ).toEqual([])
}

export { expect }

/** From the shelf to one of its further screens; on a phone their links are folded away. */
export async function moreOfShelf(page: Page, name: string): Promise<void> {
  const folded = page.locator('summary').filter({ hasText: 'More of the shelf' })
  if (await folded.isVisible()) await folded.click()
  await page.getByRole('link', { name, exact: true }).click()
}
