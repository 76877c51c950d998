import { notFound } from 'next/navigation'
import { isRefusal } from '@/lib/refusal.ts'

/** The answer of a read, or the not-found page when there is no such thing. */
export async function found<T>(read: Promise<T>): Promise<T> {
  try {
    return await read
  } catch (error) {
    if (isRefusal(error) && error.status === 404) notFound()
    throw error
  }
}

/** A row id out of an address; anything else is not found. */
export function idOf(text: string): number {
  if (!/^\d{1,15}$/.test(text)) notFound()
  return Number(text)
}
