import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('the buyer has the plan reckoned, sets a budget that is too small, undoes it, and makes the orders of today', async ({
  page,
}) => {
  test.setTimeout(300_000)
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await page.getByRole('link', { name: 'Order plan', exact: true }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Order plan')
  await page.getByLabel('Time at most').selectOption('5')
  await page.getByRole('button', { name: 'Reckon the plan' }).click()
  const sum = page.locator('section[aria-labelledby="sum"]')
  // In a process of its own: the page follows by itself.
  await expect(sum).toContainText(/no plan costs less/i, { timeout: 180_000 })
  await expect(page.getByLabel('Last reckoning')).toContainText('Odile Brandreth')
  await expect(page.getByRole('region', { name: 'Beside the simple rule' })).toContainText('The plan:')
  await expectGoodScreen(page)

  // What the services of the winter take is in it, said by its machines, until the buyer leaves it out.
  const forWinter = page.getByRole('row').getByRole('link', { name: /^Winter \d{4}\/\d\d: [A-Z]-\d\d/ })
  await expect(forWinter.first()).toBeVisible()
  await page.goto('/buying')
  await expect(page.getByText(/takes \d+ parts besides/)).toBeVisible()
  await expectGoodScreen(page)
  await page.getByRole('link', { name: /^Winter \d{4}\/\d\d$/ }).click()
  await page.getByRole('link', { name: 'Let the order plan choose suppliers for this list' }).click()
  await expect(page).toHaveURL(/buying\/plan$/)
  const withWinter = (await sum.getByRole('heading').textContent()) ?? ''
  await page.getByRole('button', { name: 'Leave the winter plan out' }).click()
  await expect(page.getByRole('heading', { name: 'Without the winter plan' })).toBeVisible()
  await expect(page.getByLabel('Last reckoning')).toBeVisible({ timeout: 180_000 })
  await expect(sum.getByRole('heading')).not.toHaveText(withWinter)
  await expect(forWinter).toHaveCount(0)
  await expect(page.getByRole('region', { name: 'Set by hand' })).toContainText(
    'Without the winter plan Odile Brandreth',
  )
  const whole = (await sum.getByRole('heading').textContent()) ?? ''

  await page.getByLabel(/Budget for goods/).fill('40')
  await page.getByRole('button', { name: 'Set the budget' }).click()
  const byHand = page.getByRole('region', { name: 'Set by hand' })
  await expect(byHand).toContainText('Not more than £40.00 in all Odile Brandreth')
  const open = page.getByRole('region', { name: 'Left open' })
  await expect(open).toContainText('the budget of £40.00 does not reach', { timeout: 90_000 })
  await expect(open).toContainText('Without the budget of £40.00')

  await byHand.getByRole('listitem').filter({ hasText: 'Not more than' }).getByRole('button', { name: /^Undo/ }).click()
  await expect(sum.getByRole('heading')).toHaveText(whole, { timeout: 90_000 })
  await expect(page.getByLabel('Last reckoning')).toBeVisible({ timeout: 90_000 })
  await page.getByRole('button', { name: 'Make today’s orders' }).click()
  await expect(sum).toContainText(/Ordered .*order \d+/)
  await expect(sum).toContainText('What was ordered is on order now.')
  await sum
    .getByRole('link', { name: /^order / })
    .first()
    .click()
  await expect(page).toHaveURL(/buying\/orders\/\d+/)
  await expect(page.getByText(/for the shelf: reorder point/).first()).toBeVisible()
})
