-- Neovim without a screen: a faulty sheet, its findings, a mend, saved, gone; a bought part renamed in two sheets.

local folder = vim.fn.getcwd()
vim.g.dryfit_program = os.getenv("DRYFIT")
vim.cmd("source " .. os.getenv("EDITORS") .. "/neovim/dryfit.lua")

local function fail(why)
  io.stderr:write("neovim: " .. why .. "\n")
  vim.cmd("cquit 1")
end

local function expect(what, is)
  if not vim.wait(10000, is, 20) then
    fail("waited in vain: " .. what)
  end
end

local function codes()
  local found = {}
  for _, one in ipairs(vim.diagnostic.get(0)) do
    found[(one.code or (one.user_data and one.user_data.lsp and one.user_data.lsp.code) or "?")] = one
  end
  return found
end

local function apply(edit, client)
  vim.lsp.util.apply_workspace_edit(edit, client.offset_encoding)
end

local function ask(method, params)
  local answers = vim.lsp.buf_request_sync(0, method, params, 10000)
  for id, answer in pairs(answers or {}) do
    if answer.result then
      return answer.result, vim.lsp.get_client_by_id(id)
    end
  end
  fail("no answer to " .. method)
end

vim.cmd("edit " .. folder .. "/tray.dryfit")
expect("a thin wall is found", function() return codes()["thin-wall"] ~= nil end)
local thin = codes()["thin-wall"]
local params = vim.lsp.util.make_range_params()
local place = { line = thin.lnum, character = thin.col }
params.range = { start = place, ["end"] = place }
params.context = { diagnostics = {} }
local actions, client = ask("textDocument/codeAction", params)
for _, action in ipairs(actions) do
  if action.isPreferred then
    local whole = action.edit and action or ask("codeAction/resolve", action)
    apply(whole.edit, client)
    break
  end
end
vim.cmd("write")
expect("the mended wall is no longer found", function() return codes()["thin-wall"] == nil end)
local text = table.concat(vim.fn.readfile(folder .. "/tray.dryfit"), "\n")
if not text:find("thickness 0.84 mm", 1, true) then
  fail("the mend was not written:\n" .. text)
end

vim.cmd("edit " .. folder .. "/rail.dryfit")
expect("the second sheet is served", function() return #vim.lsp.get_active_clients() > 0 end)
vim.wait(300)
local rename = { textDocument = vim.lsp.util.make_text_document_params(), position = { line = 0, character = 8 }, newName = "gutter" }
local edit, of = ask("textDocument/rename", rename)
apply(edit, of)
vim.cmd("wall")
for _, name in ipairs({ "rail", "tray" }) do
  local found = table.concat(vim.fn.readfile(folder .. "/" .. name .. ".dryfit"), "\n")
  if not found:find("gutter", 1, true) then
    fail(name .. " was not renamed:\n" .. found)
  end
end
print("neovim: found, mended, saved, gone, renamed in two sheets\n")
vim.cmd("qall!")
