import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a buyer enters the credit note of an invoice, is told when it gives too much, sees what stays open, and withdraws it', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying/invoices')
  await expect(page.getByText(/waits for a credit note, open £/).first()).toBeVisible()
  // The invoice of the last delivery is dearer than agreed, and nobody has decided on it.
  await page.goto('/buying/invoices/1')
  await page.getByRole('link', { name: 'Enter a credit note' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Enter a credit note')
  const credited = page.getByLabel(/^Credited for .* agreed/)
  const open = Math.round(Number(await credited.inputValue()) * 100)
  expect(open).toBeGreaterThan(1)
  const tax = page.getByLabel(/^Tax at 20\.0 %/)
  const money = (minor: number) => (minor / 100).toFixed(2)
  await page.getByLabel('Number of the credit note').fill('GS 41')
  await page.getByLabel('Dated').fill('2026-11-20')

  // A penny more than is owed: nothing is kept, and what was typed stays.
  await credited.fill(money(open + 1))
  await page.getByLabel('Total of the credit note').fill(money(open + 1 + Number(await tax.inputValue()) * 100))
  await page.getByRole('button', { name: 'Keep the credit note' }).click()
  await expect(page.getByRole('main')).toContainText(`open £${money(open)} of £${money(open)}`)
  await expect(page.getByLabel('Number of the credit note')).toHaveValue('GS 41')
  await expectGoodScreen(page)

  // A penny less: the tax follows, and the penny stays open.
  await credited.fill(money(open - 1))
  const total = open - 1 + Math.round(Number(await tax.inputValue()) * 100)
  await expect(page.getByText('By what is entered')).toContainText(
    `total £${money(total)}. £0.01 without tax stay open`,
  )
  await page.getByLabel('Total of the credit note').fill(money(total))
  // The whole form is in the reach of the keyboard: from its last field to the button, and pressed there.
  await page.getByLabel('Total of the credit note').press('Tab')
  await expect(page.getByRole('button', { name: 'Keep the credit note' })).toBeFocused()
  await page.keyboard.press('Enter')
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Credit note GS 41')
  await expect(page.getByRole('main')).toContainText(`Total £${money(total)}`)
  await expectGoodScreen(page)

  await page.getByRole('main').locator('dl').getByRole('link').last().click()
  await expect(page.getByRole('main')).toContainText(
    `Waits for a credit note: open £0.01 of £${money(open)}, without tax.`,
  )
  await expectGoodScreen(page)

  // The same number again is refused, also for a sum.
  await page.getByRole('link', { name: 'Enter a credit note' }).click()
  await page.getByLabel('Number of the credit note').fill('gs 41')
  await page.getByLabel('Dated').fill('2026-11-21')
  await page.getByLabel('The credit note gives').selectOption('sum')
  await page.getByLabel(/^One sum, without tax/).fill('0.01')
  await page.getByLabel('Total of the credit note').fill('0.01')
  await page.getByRole('button', { name: 'Keep the credit note' }).click()
  await expect(page.getByRole('main')).toContainText('is entered already, for invoice')
  await expect(page.getByLabel('The credit note gives')).toHaveValue('sum')
  await page.getByLabel('Number of the credit note').fill('GS 42')
  await page.getByRole('button', { name: 'Keep the credit note' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Credit note GS 42')

  await page.getByText('Withdraw the credit note').click()
  await page.getByLabel('What was wrong').fill('of another supplier')
  await page.getByRole('button', { name: 'Withdraw it' }).click()
  await expect(page.getByRole('main')).toContainText('Waits for a credit note: open £0.01')
  const notes = page.locator('section[aria-labelledby="credits"]')
  await expect(notes.getByRole('listitem').filter({ hasText: 'GS 42' })).toContainText('withdrawn')
})
