"""The server under the abilities that several editors announce."""

import os
import sys

import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import ClientServerConfig, LanguageClient, client_capabilities

DRYFIT = os.environ["DRYFIT"]

THIN = """machine bench
material petg
part tray {
  up +z
  size 40 x 20 x 25 mm
  wall back { thickness 0.5 mm; height 20 mm; faces +x }
}
"""


@pytest_lsp.fixture(
    params=["neovim@0.9.1", "emacs@29.1", "visual_studio_code@1.65.2"],
    config=ClientServerConfig(server_command=[DRYFIT, "language-server"]),
)
async def client(request, lsp_client: LanguageClient, tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    capabilities = client_capabilities(request.param)

    @lsp_client.feature("client/registerCapability")
    def registered(_):
        return None

    await lsp_client.initialize_session(
        types.InitializeParams(capabilities=capabilities, root_uri=folder.as_uri())
    )
    lsp_client.folder = folder
    yield
    await lsp_client.shutdown_session()


def opened(client, text):
    path = client.folder / "tray.dryfit"
    path.write_text(text)
    uri = path.as_uri()
    item = types.TextDocumentItem(uri=uri, language_id="dryfit", version=1, text=text)
    client.text_document_did_open(types.DidOpenTextDocumentParams(text_document=item))
    return uri


async def findings(client, uri):
    if client.capabilities.text_document.diagnostic is not None:
        document = types.TextDocumentIdentifier(uri=uri)
        report = await client.text_document_diagnostic_async(types.DocumentDiagnosticParams(text_document=document))
        return list(report.items)
    await client.wait_for_notification(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    return list(client.diagnostics[uri])


@pytest.mark.asyncio
async def test_a_finding_and_its_mend(client: LanguageClient):
    uri = opened(client, THIN)
    found = await findings(client, uri)
    thin = next(one for one in found if one.code == "thin-wall")
    assert thin.severity == types.DiagnosticSeverity.Error
    assert THIN.splitlines()[thin.range.start.line][thin.range.start.character:].startswith("0.5 mm")
    document = types.TextDocumentIdentifier(uri=uri)
    actions = await client.text_document_code_action_async(
        types.CodeActionParams(
            text_document=document, range=thin.range, context=types.CodeActionContext(diagnostics=[thin])
        )
    )
    best = next(action for action in actions if action.is_preferred)
    if best.edit is None:
        best = await client.code_action_resolve_async(best)
    changes = best.edit.changes or {one.text_document.uri: one.edits for one in best.edit.document_changes}
    assert [edit.new_text for edit in changes[uri]] == ["0.84"]


@pytest.mark.asyncio
async def test_words_are_explained_and_offered(client: LanguageClient):
    uri = opened(client, THIN)
    document = types.TextDocumentIdentifier(uri=uri)
    hover = await client.text_document_hover_async(
        types.HoverParams(text_document=document, position=types.Position(line=1, character=10))
    )
    assert "yield-stress" in hover.contents.value
    items = await client.text_document_completion_async(
        types.CompletionParams(text_document=document, position=types.Position(line=3, character=2))
    )
    assert "wall" in {item.label for item in getattr(items, "items", items)}


if __name__ == "__main__":
    sys.exit(pytest.main([__file__, "--quiet", "--asyncio-mode=auto", "-p", "no:cacheprovider"]))
