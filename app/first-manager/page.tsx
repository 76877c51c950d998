import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { connection } from 'next/server'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { peopleAnybody } from '@/lib/db/people.ts'
import { PersonForm } from '../people/person-form.tsx'
import { setUp } from './actions.ts'

export const metadata: Metadata = { title: 'First manager' }

export default async function FirstManagerPage() {
  // Asked at every visit, never while building.
  await connection()
  if (await peopleAnybody()) redirect('/sign-in')
  return (
    <main className="page narrow stack" id="page">
      <h1>First manager</h1>
      <p>
        Nobody can sign in yet. The first one is a manager, may do everything, and puts the others on the list. Keep the
        PIN or password where you will find it again.
      </p>
      <PersonForm kind="first-manager" action={setUp} formKey={freshKey()} submit="Begin" keyboard="text" />
    </main>
  )
}
