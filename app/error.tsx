'use client'

export default function Failed({ error, reset }: { error: Error & { digest?: string }; reset: () => void }) {
  return (
    <main className="page narrow stack" id="page">
      <h1>Something went wrong in the program</h1>
      <p role="alert">
        The page could not be made. What was saved before is kept; nothing new was written.
        {error.digest ? ` Reference ${error.digest}.` : ''}
      </p>
      <p className="row">
        <button type="button" className="button primary" onClick={reset}>
          Try again
        </button>
        <a className="button" href="/">
          To Today
        </a>
      </p>
    </main>
  )
}
