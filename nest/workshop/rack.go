package workshop

func (w *Workshop) readRack() error { return nil }
