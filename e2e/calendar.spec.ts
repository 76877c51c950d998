import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a plan by people, hours and bays: what is wrong is said, nothing typed is lost, and weeks show hours of hours', async ({
  page,
}) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/winter')
  await page.getByText('Another plan').click()
  const form = page.getByRole('form', { name: 'A new plan' })
  const person = (name: string) => form.getByRole('group', { name })
  await form.getByLabel('Name').fill('Cold months by hours')
  await form.getByLabel('First day').fill('2027-11-01')
  await form.getByLabel('Last day').fill('2028-02-25')
  await form.getByLabel('Bays').fill('two')
  await person('Jory Penhale').getByLabel('Hours a day').fill('25')
  await person('Wilf Tamsett').getByText('Days away').click()
  await person('Wilf Tamsett').getByLabel('Away from, 1').fill('2027-11-01')
  await person('Wilf Tamsett').getByLabel('Away until, 1').fill('2027-11-05')
  await form.getByRole('button', { name: 'Plan the winter' }).click()
  await expect(form.getByText('enter a whole number from 1 to 100, or leave it empty', { exact: true })).toBeVisible()
  await expect(person('Jory Penhale').getByText('enter hours a day such as 6 or 6.5, at most 24')).toBeVisible()
  await expect(person('Wilf Tamsett').getByText('enter the hours a day as well, or clear the days away')).toBeVisible()
  await expect(form.getByLabel('Name')).toHaveValue('Cold months by hours')
  await expect(form.getByLabel('Bays')).toHaveValue('two')
  await expect(person('Wilf Tamsett').getByLabel('Away until, 1')).toHaveValue('2027-11-05')
  await expectGoodScreen(page)

  await form.getByLabel('Bays').fill('2')
  await person('Jory Penhale').getByLabel('Hours a day').fill('6')
  await person('Wilf Tamsett').getByLabel('Hours a day').fill('3:30')
  await form.getByRole('button', { name: 'Plan the winter' }).press('Enter')
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Cold months by hours')
  await expect(page.getByText('as hours and bays allow.')).toBeVisible()
  // Wilf is away in the first week: 5 x 6 h, then 5 x 9.5 h.
  const heads = page.getByText(/^,? ?[\d.]+ of (30|47\.5) h, \d of 2 bays$/)
  await expect(heads.filter({ hasText: 'of 30 h', visible: true }).first()).toBeVisible()
  await expect(heads.filter({ hasText: 'of 47.5 h', visible: true }).first()).toBeVisible()
  await expectGoodScreen(page)

  const plan = page.url()
  const machine = page.getByRole('region', { name: 'Week by week' }).getByRole('link').first()
  const row = page.getByRole('region', { name: 'Week by week' }).getByRole('listitem').first()
  await expect(row).toContainText(/[\d.]+ h, /)
  await machine.click()
  await expect(
    page.getByText(/^It takes [\d.]+ h( more)?: .* h \((the median of|as the one past job took|nothing)/),
  ).toBeVisible()
  await expect(page.getByRole('combobox', { name: 'Week' })).toContainText('of 47.5 h')
  await expectGoodScreen(page)

  await page.goto(`${plan}/change`)
  const change = page.getByRole('form', { name: 'The season' })
  await expect(change.getByLabel('Bays')).toHaveValue('2')
  const wilf = change.getByRole('group', { name: 'Wilf Tamsett' })
  await expect(wilf.getByLabel('Hours a day')).toHaveValue('3.5')
  await expect(wilf.getByLabel('Away until, 1')).toBeVisible()
  await expect(wilf.getByLabel('Away until, 1')).toHaveValue('2027-11-05')
  await expectGoodScreen(page)
  // Today and the list of plans are left as other walks know them.
  await page.getByRole('button', { name: 'Close the plan' }).click()
  await expect(page.getByText('The plan is closed.')).toBeVisible()
})
