"""What every page gets besides its words: a security policy, lasting names, a search that waits, a line for paper.

Styles and scripts of our own get a hash into their names, as the theme's have one, so that a host
may let browsers keep them for good. The policy is worked out per page, because one of the theme's
inline scripts holds the way back to the top of the site and so differs by depth.
"""

import base64
import hashlib
import re
import tomllib
from pathlib import Path, PurePosixPath

from mkdocs.exceptions import PluginError

# `data:` is for the theme's icons, `blob:` for the two workers; nothing else may be loaded or
# reached. `default-src 'none'` would stop one browser from fetching the next page ahead.
POLICY = (
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'{hashes}; style-src 'self'; img-src 'self' data:; "
    "worker-src 'self' blob:; connect-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'"
)
INLINE_SCRIPT = re.compile(r"<script(?![^>]*\b(?:src|type)=)[^>]*>(.*?)</script>", re.DOTALL)
CHARSET = '<meta charset="utf-8">'
THEME_SCRIPT = re.compile(r'<script src="([^"]*)assets/javascripts/bundle\.')
SEARCH_DIALOG = 'data-md-component="search" role="dialog"'

END = "</article>"

SEARCH = "assets/js/search.js"
# What a script needs on a page to do anything there; it is left out where there is none of it.
ONLY_FOR = {"python": r'id="python-runtime"', "forms": r'data-calculator="', "plan": r'id="worksheet"', "practice": r'id="(?:practice|trainer)"'}
OWN_ASSETS = re.compile(r"assets/(?:css|js)/[^/]+\.(?:css|js)")


def on_config(config):
    project = tomllib.loads((Path(config.config_file_path).parent / "pyproject.toml").read_text("utf-8"))
    config.extra["version"] = project["project"]["version"]


def on_files(files, config):
    """Give our own styles and scripts names that change with what is in them."""
    lasting = {}
    for file in files:
        if OWN_ASSETS.fullmatch(file.src_uri):
            lasting[file.src_uri] = file.dest_uri = _lasting_name(file.src_uri, file.content_bytes)
    config.extra_css = [lasting.get(path, path) for path in config.extra_css]
    for script in config.extra_javascript:
        if isinstance(script, str) or not script.defer:
            raise PluginError(f"mkdocs.yml: {script} must be deferred: no page waits for a script of ours to be drawn")
        script.path = lasting.get(script.path, script.path)
    config.extra["search_script"] = lasting[SEARCH]


def on_post_page(output, page, config):
    return _finished(output, page.file.src_uri, config)


def on_post_template(output_content, template_name, config):
    return _finished(output_content, template_name, config) if template_name.endswith(".html") else output_content


def _lasting_name(path, content):
    name = PurePosixPath(path)
    return str(name.with_name(f"{name.stem}.{hashlib.sha256(content).hexdigest()[:16]}{name.suffix}"))


def _finished(page, name, config):
    page = _replaced(page, name, END, f'{END}\n<p class="printed">{config.site_name} {config.extra["version"]}</p>')
    for script in config.extra_javascript:
        needed = ONLY_FOR.get(PurePosixPath(script.path).name.partition(".")[0])
        if needed and not re.search(needed, page):
            page = _replaced(page, name, _tag(page, name, script.path), "")
    page = _replaced(page, name, SEARCH_DIALOG, f'{SEARCH_DIALOG} aria-label="Search"')
    # Before the theme's script, which starts the search. Not deferred: that script is not either.
    theme = THEME_SCRIPT.search(page)
    if theme is None:
        raise PluginError(f"{name}: the theme's script is not where it was; read what changed")
    page = _replaced(page, name, theme[0], f'<script src="{theme[1]}{config.extra["search_script"]}"></script>\n{theme[0]}')
    # First of all: a policy holds for what comes after it.
    return _replaced(page, name, CHARSET, f'{CHARSET}\n<meta http-equiv="Content-Security-Policy" content="{_policy(page)}">')


def _tag(page, name, path):
    found = re.search(rf'<script src="[^"]*{re.escape(path)}" defer></script>\s*', page)
    if found is None:
        raise PluginError(f"{name}: the page does not load {path} as it did; read what changed")
    return found[0]


def _policy(page):
    scripts = dict.fromkeys(INLINE_SCRIPT.findall(page))
    digests = (hashlib.sha256(script.encode()).digest() for script in scripts)
    return POLICY.format(hashes="".join(f" 'sha256-{base64.b64encode(digest).decode()}'" for digest in digests))


def _replaced(page, name, old, fresh):
    if page.count(old) != 1:
        raise PluginError(f"{name}: the theme's pages hold {old} {page.count(old)} times instead of once; read what changed")
    return page.replace(old, fresh)
