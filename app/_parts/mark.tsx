/** The house mark: a split pin, seen from the side. */
export function Mark() {
  return (
    <svg
      viewBox="0 0 34 18"
      aria-hidden="true"
      fill="none"
      stroke="currentColor"
      strokeWidth="2.2"
      strokeLinecap="round"
    >
      <path d="M22 7.2H2" />
      <path d="M22.2 6.9a5.6 5.6 0 1 1 .2 4.6" />
      <path d="M2.5 11.4h19.8" />
    </svg>
  )
}
