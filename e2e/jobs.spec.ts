import type { Page } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** The trailer's brake job of the demo. */
async function brakeJob(page: Page): Promise<string> {
  await page.goto('/jobs')
  await page.getByRole('row').filter({ hasText: 'left drum stays cold' }).getByRole('link').first().click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/Job \d/)
  return page.url()
}

test('a meter that runs backwards is asked about, and nothing that was typed is lost', async ({ page, isMobile }) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/jobs/new')
  await page.getByLabel('Machine', { exact: true }).selectOption({ index: isMobile ? 3 : 1 })
  const machine = await page.getByLabel('Machine', { exact: true }).inputValue()
  await page.getByLabel('Complaint').fill('Hub too hot to touch')
  await expect(page.getByLabel('If the reading is right, why')).toHaveCount(0)
  await page.getByLabel('Hour meter').fill('1.5')
  await page.getByRole('button', { name: 'Open the job' }).click()
  await expect(page.getByRole('alert').filter({ hasText: 'cannot show 1.5 h' })).toContainText(
    /the last reading was [\d,.]+ h on \d+ \w+ \d+/,
  )
  await expect(page.getByLabel('Complaint')).toHaveValue('Hub too hot to touch')
  await expect(page.getByLabel('Hour meter')).toHaveValue('1.5')
  await expect(page.getByLabel('Machine', { exact: true })).toHaveValue(machine)
  await expectGoodScreen(page)
  await page.getByLabel('If the reading is right, why').selectOption('meter replaced')
  await page.getByRole('button', { name: 'Open the job' }).click()
  await expect(page.getByText('1.5 h: meter replaced')).toBeVisible()
})

test('the brake job of the trailer reads as a mechanic works', async ({ page }) => {
  await signIn(page, 'Sam Lutterby')
  const job = await brakeJob(page)
  await page.goto(`${job}/strip`)
  const cautions = page.getByRole('region', { name: 'Cautions' })
  await expect(cautions).toContainText('The brake you take apart holds nothing')
  await expect(cautions).not.toContainText(/engine off|brake on,/)
  // The pair was agreed to: each wheel has its own tick.
  await expect(page.getByText(/Left to strip: shared 1 of 1, LH \d+ of \d+, RH \d+ of \d+\./)).toBeVisible()
  const atEachWheel = async (words: RegExp) => {
    const steps = page.getByRole('listitem').filter({ hasText: words })
    await expect(steps).toHaveCount(2)
    for (const [at, side] of ['(LH)', '(RH)'].entries()) await expect(steps.nth(at)).toContainText(side)
  }
  await atEachWheel(/Take the wheel off/)
  await page.goto(`${job}/rebuild`)
  await atEachWheel(/Fit new 5 Brake shoe with lining, DM60130/)
  await atEachWheel(/Fit 14 Brake drum/)
  const later = page.getByRole('region', { name: 'After the first loaded run' })
  await expect(later).toContainText('Wheel nuts again')
  await expectGoodScreen(page)
  await page.goto(`${job}/take`)
  await expect(page.getByText(/late, was due \d+ \w+ \d+, \d+ days?/).first()).toBeVisible()
})
