"""The register of outside checks counts quantities, not rows, and fails what is off."""

import pytest

pytest_plugins = ["pytester"]


@pytest.fixture
def table(pytester: pytest.Pytester, request: pytest.FixtureRequest) -> pytest.Pytester:
    conftest = request.config.rootpath / "tests" / "validation" / "conftest.py"
    pytester.makeconftest(conftest.read_text(encoding="utf-8"))
    return pytester


def test_rows_of_one_quantity_are_one_check(table: pytest.Pytester) -> None:
    table.makepyfile(
        """
        import pytest

        @pytest.mark.parametrize("x", [1.0, 2.0])
        def test_rows(check, x):
            check(source="by hand", status="computed", quantity="x", expected=x, actual=x + 0.05, tolerance=0.1)

        def test_other(check):
            check(source="by hand", status="computed", quantity="y", expected=[1, 2], actual=[1, 2], tolerance=0)
        """
    )
    result = table.runpytest_inprocess("-p", "no:playwright")
    result.assert_outcomes(passed=3)
    result.stdout.re_match_lines(
        [r"0 checks, 0 of them published", r"by hand +2 +4 +50% +computed", r"2 worked checks"]
    )


def test_a_difference_beyond_tolerance_fails_and_is_named(table: pytest.Pytester) -> None:
    table.makepyfile(
        """
        def test_off(check):
            check(source="by hand", status="computed", quantity="x", expected=1.0, actual=1.3, tolerance=0.1)
        """
    )
    result = table.runpytest_inprocess("-p", "no:playwright")
    result.assert_outcomes(failed=1)
    result.stdout.re_match_lines([r".*x \(by hand\): 1.3 against 1 .*", r"by hand +1 +1 +300% +computed +FAILED"])


def test_a_published_figure_needs_a_source_in_the_bibliography(table: pytest.Pytester) -> None:
    table.makepyfile(
        """
        def test_unknown(check):
            check(source="nowhere", status="seen", quantity="x", expected=1.0, actual=1.0, tolerance=0.1)
        """
    )
    result = table.runpytest_inprocess("-p", "no:playwright")
    result.assert_outcomes(failed=1)
    result.stdout.re_match_lines([r".*nowhere is not in the bibliography.*"])
