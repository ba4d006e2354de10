package block

// UpdateGolden says whether the golden files are to be written again (-update).
func UpdateGolden() bool { return *update }
