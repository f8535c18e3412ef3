package server

import "waterkey/desk"

// Measure has a take measured that came onto the desk past the API.
func (s *Server) Measure(id desk.ID) { s.jobs.want(id) }
