import pytest

from wardwright.errors import JobFileError
from wardwright.rules.confirmations import Confirmation
from wardwright.storage.firm import firm_folder, load_confirmations, save_confirmations

ONE = Confirmation.of("EU-PWR-04", edition="2006", by="A. Fitter", when="2025-02-03")
TWO = Confirmation.of("EU-LOG-01", edition="2006", by="A. Fitter", when="2025-02-03")


def test_kept_and_read_back(tmp_path):
    folder = tmp_path / "firm"
    assert load_confirmations(folder) == ()
    save_confirmations(folder, (ONE, TWO))
    assert load_confirmations(folder) == (TWO, ONE)
    assert [p.name for p in folder.iterdir()] == ["confirmations.json"]


def test_damaged_file_is_refused_and_left_alone(tmp_path):
    (tmp_path / "confirmations.json").write_text('[{"row": "EU-PWR-04"', encoding="utf-8")
    with pytest.raises(JobFileError, match="no list of confirmations"):
        load_confirmations(tmp_path)
    assert (tmp_path / "confirmations.json").read_text(encoding="utf-8").endswith('EU-PWR-04"')


def test_folder_can_be_chosen(monkeypatch, tmp_path):
    monkeypatch.setenv("WARDWRIGHT_FIRM", str(tmp_path))
    assert firm_folder() == tmp_path
