import type { Page } from '@playwright/test'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** A job on the left brake shoes of a trailer, as it is opened from the drawing. */
async function brakeJob(page: Page): Promise<void> {
  await page.goto('/models')
  await page.getByRole('link', { name: 'Dunmarrow T6' }).click()
  await page.getByRole('link', { name: /5-04/ }).click()
  const shoe = page
    .getByRole('row')
    .filter({ hasText: /Brake shoe/ })
    .first()
  await shoe.getByRole('button', { name: /show on the drawing/ }).click()
  await page.getByRole('link', { name: 'Log a repair with this part' }).first().click()
  await page.getByLabel('Complaint').fill('Left brake weak')
  await page.getByRole('checkbox', { name: /left/i }).check()
  await page.getByRole('button', { name: 'Open the job' }).click()
  await expect(page.getByRole('heading', { name: 'Also needed' })).toBeVisible()
}

test('a rule of the workshop is tried, added, asked for on the next job, and switched off', async ({
  page,
  isMobile,
}) => {
  test.setTimeout(180_000)
  const words = `Mark each shoe with its wheel before it is relined${isMobile ? ', with chalk' : ''}.`
  await signIn(page, 'Sam Lutterby')
  await page.goto('/settings/rules')
  await page.getByRole('link', { name: 'Add a rule' }).click()
  const form = page.getByRole('form', { name: 'Rule' })
  await form.getByLabel('Kind of part', { exact: true }).selectOption({ label: 'brake shoe' })
  await form.getByRole('button', { name: 'Add: Kind of part', exact: true }).click()
  await form.getByLabel('What is said to the mechanic').fill(words)

  const figure = page.getByRole('region', { name: 'Try it on a figure' })
  await expect(figure.getByRole('option', { name: /5-04/ }).first()).toBeAttached()
  const option = await figure.getByRole('option', { name: /Dunmarrow T6: 5-04/ }).getAttribute('value')
  await figure.getByLabel('Figure', { exact: true }).selectOption(option)
  await expect(figure.getByText('This would change:')).toBeVisible()
  await expect(figure.getByRole('listitem').filter({ hasText: words })).toContainText('+ added')

  // A rule for the frost is silent in June, and speaks in December.
  await form.getByText('More conditions', { exact: true }).click()
  await form.getByLabel('Season from').selectOption('November')
  await form.getByLabel('to the end of').selectOption('February')
  await figure.getByLabel('In', { exact: true }).selectOption('June')
  await expect(figure.getByText('Nothing would change here.')).toBeVisible()
  await figure.getByLabel('In', { exact: true }).selectOption('December')
  await expect(figure.getByRole('listitem').filter({ hasText: words })).toContainText('+ added')
  await expectGoodScreen(page)
  await form.getByLabel('Season from').selectOption('all the year')
  await form.getByLabel('to the end of').selectOption('all the year')

  await page.getByRole('button', { name: 'Plan them again' }).click()
  const bench = page.getByRole('region', { name: 'Past jobs' })
  await expect(bench.getByText(/jobs? planned again; .*would be asked for something else/)).toBeVisible()
  await expectGoodScreen(page)

  await form.getByLabel('What is said to the mechanic').fill('Mark.')
  await form.getByRole('button', { name: 'Add the rule' }).click()
  await expect(form.getByText('say what is to be done and why in 10 to 220 characters', { exact: true })).toBeVisible()
  await form.getByLabel('What is said to the mechanic').fill(words)
  await form.getByRole('button', { name: 'Add the rule' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words)
  await expect(page.getByRole('main')).toContainText('rule of this workshop')
  const rule = page.url()

  await brakeJob(page)
  const asked = page.getByRole('listitem').filter({ hasText: words }).last()
  await expect(asked).toContainText('rule of this workshop')
  await expectGoodScreen(page)

  await page.goto(rule)
  await page.getByText('Switch off', { exact: true }).click()
  await page.getByLabel('Why').fill('relined outside now')
  await page.getByRole('button', { name: 'Switch it off' }).click()
  await expect(page.getByText('✕ off')).toBeVisible()
  await expect(page.getByRole('region', { name: 'History' })).toContainText('switched off, relined outside now')
  await expectGoodScreen(page)
  await brakeJob(page)
  await expect(page.getByRole('main')).toContainText('Also needed')
  await expect(page.getByText(words)).toHaveCount(0)
})

test('a mechanic reads the rules and finds whom to ask to change them', async ({ page }) => {
  await signIn(page, 'Wilf Tamsett')
  await page.goto('/settings/rules?q=shoes')
  await expect(page.getByRole('link', { name: /Shoes and pads are renewed on both wheels/ })).toBeVisible()
  await expect(page.getByRole('link', { name: 'Add a rule' })).toHaveCount(0)
  await page.getByRole('link', { name: /Shoes and pads are renewed on both wheels/ }).click()
  await expect(page.getByRole('main')).toContainText('When a brake shoe or brake pad is renewed')
  await expect(page.getByRole('button', { name: 'Switch it off' })).toHaveCount(0)
  await page.goto('/settings/rules/new')
  await expect(page.getByRole('button', { name: 'Add the rule' })).toHaveCount(0)
})
