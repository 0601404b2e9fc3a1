"""Use cases: one public function or method is one transaction."""
