"""Looking back: what each plan predicted beside what came of it."""
