import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a mechanic says which end of the rotor has the worn bearing, and the other end is proposed', async ({ page }) => {
  test.setTimeout(180_000)
  await signIn(page, 'Jory Penhale')
  await page.goto('/models')
  await page.getByRole('link', { name: 'Stourleigh FM 180' }).click()
  await page.getByRole('link', { name: /3-02/ }).click()
  await page.getByLabel('Machine in hand').selectOption({ index: 1 })
  await page.getByRole('button', { name: 'Show its lines' }).click()
  const drawing = page.getByRole('group', { name: /Figure 3-02/ })
  await drawing.focus()
  await page.keyboard.press('9')
  const chosen = page.getByRole('region', { name: 'Chosen part' })
  await expect(chosen.getByRole('heading', { name: /Ball bearing/ })).toBeVisible()
  await chosen.getByRole('link', { name: 'Log a repair with this part' }).click()

  // The number follows the end: two bearings to a rotor, one at each end.
  await page.getByLabel('Complaint').fill('Rumbles at the pulley')
  const ends = page.getByRole('group', { name: 'Which end of the shaft?' })
  await expect(page.getByLabel('How many to renew')).toHaveValue('2')
  await expect(page.getByText(/No end ticked/)).toBeVisible()
  await ends.getByRole('checkbox', { name: 'Drive end (DE)', exact: true }).check()
  await expect(page.getByLabel('How many to renew')).toHaveValue('1')
  await expect(page.getByText(/No end ticked/)).toBeHidden()
  await expectGoodScreen(page)
  await page.getByRole('button', { name: 'Open the job' }).click()

  // What is used up is that of the drive end; the bearing of the other end is proposed with its reason.
  const take = page.getByRole('region', { name: 'Take', exact: true })
  await expect(take).toContainText(/1 x Oil seal.*\(drive end\)/)
  const other = take.getByRole('listitem').filter({ hasText: /Ball bearing.*\(non-drive end\)/ })
  await expect(other).toContainText('has run the same hours')
  await expectGoodScreen(page)
  const job = page.url().replace(/\/needed.*$/, '')

  // The strip order goes through the drive end only, and offers the other one while it is apart.
  await page.goto(`${job}/strip`)
  const steps = page.getByRole('listitem')
  await expect(steps.filter({ hasText: 'Take off 9 Ball bearing, 40 x 90 x 23 (drive end)' }).first()).toBeVisible()
  await expect(steps.filter({ hasText: 'Take off 20 Cover' })).toHaveCount(0)
  await expectGoodScreen(page)
  await page.getByRole('button', { name: /^Do this end too ?: Ball bearing.*non-drive end/ }).click()
  await expect(steps.filter({ hasText: 'Take off 9 Ball bearing, 40 x 90 x 23 (non-drive end)' }).first()).toBeVisible()
  await expect(steps.filter({ hasText: 'Take off 20 Cover' }).first()).toBeVisible()
  await expect(page.getByRole('button', { name: /^Do this end too/ })).toHaveCount(0)

  // The job card says both ends, and lets go of one again.
  await page.goto(job)
  const renew = page.getByRole('region', { name: 'To renew' })
  await expect(renew).toContainText('Ball bearing, 40 x 90 x 23, drive end, non-drive end')
  await renew.getByText('Other places or number').first().click()
  await renew.getByRole('checkbox', { name: 'Drive end (DE)', exact: true }).uncheck()
  await expect(renew.getByLabel('How many to renew')).toHaveValue('1')
  await expectGoodScreen(page)
  await renew.getByRole('button', { name: 'Put it so on the job' }).click()
  await expect(page.getByRole('heading', { name: 'Also needed' })).toBeVisible()
  await expect(renew).toContainText('1 x Ball bearing, 40 x 90 x 23 (non-drive end)')
})
