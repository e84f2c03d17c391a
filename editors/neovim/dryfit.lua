-- Part sheets in Neovim (0.7 or later): findings while typing, mends with vim.lsp.buf.code_action().
-- Put this file into ~/.config/nvim/plugin/.

local group = vim.api.nvim_create_augroup("dryfit", { clear = true })

vim.api.nvim_create_autocmd({ "BufRead", "BufNewFile" }, {
  group = group,
  -- Sheets, and the notes on what came off the printer.
  pattern = { "*.dryfit", "*.notes" },
  callback = function()
    vim.bo.filetype = "dryfit"
  end,
})

vim.api.nvim_create_autocmd("FileType", {
  group = group,
  pattern = "dryfit",
  callback = function(event)
    vim.bo[event.buf].commentstring = "# %s"
    vim.bo[event.buf].omnifunc = "v:lua.vim.lsp.omnifunc"
    -- Words of the language have hyphens in them.
    vim.opt_local.iskeyword:append("-")
    local folder = vim.fn.fnamemodify(event.file, ":p:h")
    local found = vim.fn.finddir(".git", folder .. ";")
    local root = found ~= "" and vim.fn.fnamemodify(found, ":p:h:h") or folder
    local settings = {
      name = "dryfit",
      cmd = { vim.g.dryfit_program or "dryfit", "language-server" },
      root_dir = root,
    }
    if vim.lsp.start then
      vim.lsp.start(settings)
      return
    end
    -- Before 0.8: one server for each folder, kept here.
    _G.dryfit_servers = _G.dryfit_servers or {}
    local id = _G.dryfit_servers[root] or vim.lsp.start_client(settings)
    _G.dryfit_servers[root] = id
    vim.lsp.buf_attach_client(event.buf, id)
  end,
})
