import { database } from './client.ts'

/** What the workshop calls itself on order sheets; null when nobody has set it. */
export async function workshopName(): Promise<string | null> {
  const row = await database().setting.findUnique({ where: { name: 'workshop-name' } })
  return row?.value ?? null
}
