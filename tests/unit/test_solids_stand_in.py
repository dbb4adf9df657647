"""What is spared to an import is not there for it, is there in name only, and is itself again afterwards."""

import importlib
import sys

import pytest

from platemaker.solids._stand_in import in_name_only, without


def test_a_package_in_name_only_has_every_module_and_every_name():
    with in_name_only("not_installed"):
        package = importlib.import_module("not_installed")
        below = importlib.import_module("not_installed.deep.below")
        assert isinstance(package.Anything, type)
        assert list[below.Another]
        assert package.units.MM.anything is not None
        assert not hasattr(package.units, "__origin__"), "what Python itself asks for is not there"
    assert not [name for name in sys.modules if name.startswith("not_installed")]
    with pytest.raises(ModuleNotFoundError):
        importlib.import_module("not_installed")


def test_several_packages_can_be_spared_at_once():
    sys.modules.pop("colorsys", None)
    with in_name_only("not_installed", "nor_this"), without("colorsys", "json"):
        assert importlib.import_module("nor_this").deep.below is not None
        assert importlib.import_module("json").loads("[1]") == [1], "it was loaded before"
        with pytest.raises(ModuleNotFoundError):
            importlib.import_module("colorsys")


def test_without_a_package_its_import_fails_though_it_is_installed():
    sys.modules.pop("colorsys", None)
    with without("colorsys"), pytest.raises(ModuleNotFoundError):
        importlib.import_module("colorsys")
    assert importlib.import_module("colorsys").rgb_to_hsv(1, 1, 1) == (0, 0, 1)


@pytest.mark.parametrize("spared", [in_name_only, without])
def test_a_package_that_is_loaded_stays_as_it_is(spared):
    with spared("json"):
        assert importlib.import_module("json").loads("[1]") == [1]
    assert "json.decoder" in sys.modules


@pytest.mark.parametrize("spared", [in_name_only, without])
def test_a_package_whose_name_only_begins_so_is_not_meant(spared):
    sys.modules.pop("colorsys", None)
    with spared("color"):
        assert importlib.import_module("colorsys").rgb_to_hsv(0, 0, 0) == (0, 0, 0)


def test_the_finder_goes_even_when_the_import_fails():
    before = list(sys.meta_path)
    with pytest.raises(KeyError), in_name_only("not_installed"):
        raise KeyError
    assert sys.meta_path == before
