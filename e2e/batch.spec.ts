import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** So many days from today, as a date field takes it. */
const day = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10)

test('a batch is received by the maker’s code, spoils soon, and is the first to be taken; an expired one goes into quarantine', async ({
  page,
}) => {
  await signIn(page, 'Sam Lutterby')
  await page.goto('/settings/stores/1')
  const bins = page.getByRole('form', { name: 'Add bins' })
  await bins.getByLabel(/Bin codes/).fill('HELD-7')
  await bins.getByLabel('What they are for').selectOption('Quarantine')
  await bins.getByRole('button', { name: 'Add' }).click()
  await expect(bins.getByRole('status')).toContainText('1 bin set up')

  await page.goto('/shelf/receive?q=GR-160')
  await page.getByRole('link', { name: 'Choose GR-160' }).click()
  const form = page.getByRole('form', { name: 'Receive GR-160' })
  await form.getByLabel('How many came, pieces').fill('2')
  await form.getByRole('button', { name: 'Put on shelf' }).click()
  await expect(form).toContainText('the batch is kept, and none was said')
  await expectGoodScreen(page)
  await form.getByRole('button', { name: /Scan the maker/ }).click()
  const panel = page.getByRole('dialog', { name: 'Scan the pack' })
  await panel.getByLabel('Number under the code').fill(`(17)${day(12).replaceAll('-', '').slice(2)}(10)P9001`)
  await panel.getByRole('button', { name: 'Look it up' }).click()
  await expect(form.getByLabel(/^Batch number/)).toHaveValue('P9001')
  await expect(form.getByLabel(/^Use by/)).toHaveValue(day(12))
  await form.getByRole('button', { name: 'Put on shelf' }).click()
  await expect(form.getByText('Received 2 into')).toBeVisible()

  await page.goto('/')
  await page.getByRole('link', { name: /past the use-by date/ }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Spoils soon')
  await expectGoodScreen(page)
  const rows = page.getByRole('main').getByRole('listitem')
  await expect(rows.filter({ hasText: 'P9001' })).toContainText('Use first')
  const expired = rows.filter({ hasText: 'P6117' })
  await expect(expired).toContainText('expired')
  await expired.getByText('Move to quarantine, batch P6117').click()
  await expired.getByRole('button', { name: /^Move / }).click()
  await expect(rows.filter({ hasText: 'P6117' })).toContainText('Scrap, or send back')

  await page.goto('/shelf/receive?q=GR-160')
  await page.getByRole('link', { name: 'Choose GR-160' }).click()
  await page.getByRole('main').getByRole('link', { name: 'GR-160' }).first().click()
  await page.getByRole('link', { name: 'Take without a job' }).click()
  const take = page.getByRole('form', { name: 'Take GR-160' })
  await take.getByLabel('Take, pieces').fill('1')
  // The pack in the hand is held against the books: another batch is told, and so is one that should not go yet.
  const scan = async (code: string) => {
    await take.getByRole('button', { name: /Scan the maker/ }).click()
    const pack = page.getByRole('dialog', { name: 'Scan the pack' })
    await pack.getByLabel('Number under the code').fill(code)
    await pack.getByRole('button', { name: 'Look it up' }).click()
    // Nothing can be typed behind it.
    await expect(pack).toBeHidden()
  }
  await scan('(10)Q4711')
  await expect(take.getByText(/none of it lies here/)).toBeVisible()
  await expect(take.getByLabel('Batch', { exact: true })).toHaveValue('')
  await scan('(10)P9001')
  // The first choice names the batch too, as the one that goes when none is chosen.
  await expect(take.getByLabel('Batch', { exact: true }).locator('option:checked')).toHaveText(/^P9001/)
  await take.getByLabel('From bin').selectOption({ index: 1 })
  await take.getByLabel('In words').fill('cab window')
  await expectGoodScreen(page)
  await take.getByRole('button', { name: 'Take from shelf' }).click()
  await expect(take.getByText('Took 1 from')).toBeVisible()
  await page.getByRole('main').getByRole('link', { name: 'GR-160' }).first().click()
  await page.getByRole('region', { name: 'Batches' }).getByRole('link', { name: 'batch P9001' }).first().click()
  await expect(page.getByRole('region', { name: 'Where it went' })).toContainText('cab window')
  await expectGoodScreen(page)
  await page.getByRole('link', { name: 'Label', exact: true }).click()
  await expect(page.getByRole('img', { name: /First sheet: GR-160/ })).toBeVisible()
  await expectGoodScreen(page)
})
