"""Papers: drawings, schedules, the client's dossier and the firm's."""
