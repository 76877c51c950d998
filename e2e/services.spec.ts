import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a due service goes from the list over the shelf into the service book, and is no longer due', async ({
  page,
}) => {
  test.setTimeout(180_000)
  await signIn(page, 'Sam Lutterby')
  await page.getByRole('region', { name: 'Services due' }).getByRole('link').first().click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Services due')
  await expectGoodScreen(page)
  const row = page
    .getByRole('row')
    .filter({ has: page.getByRole('link', { name: /^Open the service job of/ }) })
    .first()
  const machine = (await row.getByRole('link').first().getAttribute('href'))!
  await row.getByRole('link', { name: /^Open the service job of/ }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Open the service job')
  await expectGoodScreen(page)
  const services = page.getByRole('group', { name: 'Services to do' })
  for (const box of await services.getByRole('checkbox').all()) await box.check()
  await page.getByRole('button', { name: 'Open the service job' }).click()
  await expect(page).toHaveURL(/\/jobs\/\d+\/service$/)
  await expectGoodScreen(page)
  const job = page.url().replace('/service', '')
  for (const says of ['Good', 'Done'])
    for (let left = await page.getByRole('button', { name: new RegExp(`^${says}:`) }).count(); left > 0; left--) {
      await page
        .getByRole('button', { name: new RegExp(`^${says}:`) })
        .first()
        .click()
      await expect(page.getByRole('button', { name: new RegExp(`^${says}:`) })).toHaveCount(left - 1)
    }
  await page.goto(`${job}/take`)
  await page.getByRole('button', { name: /^Take from shelf/ }).click()
  await expect(page.getByRole('heading', { name: 'Taken' })).toBeVisible()
  await page.goto(`${job}/close`)
  await page.getByLabel('Correction').fill('Serviced as planned.')
  await page.getByRole('button', { name: /^Close/ }).click()
  await expect(page).toHaveURL(/\/service-book\/\d+$/)
  await page.goto(machine)
  const section = page.getByRole('region', { name: 'Services' })
  await expect(section.getByText('not due').first()).toBeVisible()
  await expect(section.getByText(/overdue|■/)).toHaveCount(0)
})
