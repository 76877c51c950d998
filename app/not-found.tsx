import Link from 'next/link'

export const metadata = { title: 'Not here' }

export default function NotFound() {
  return (
    <main className="page narrow stack" id="page">
      <h1>There is no such page</h1>
      <p>It may have been taken away, or the address has a slip in it. Nothing was changed.</p>
      <p>
        <Link className="button primary" href="/">
          To Today
        </Link>
      </p>
    </main>
  )
}
