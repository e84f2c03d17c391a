;;; dryfit-mode.el --- Part sheets, with findings while typing  -*- lexical-binding: t; -*-

;; Put this file on the load path, and (require 'dryfit-mode) into the init file.
;; With eglot at hand (built in from Emacs 29 on), opening a sheet starts the server.

;;; Code:

(require 'eglot nil t)

(defgroup dryfit nil "Part sheets." :group 'languages)

(defcustom dryfit-program "dryfit"
  "The program that checks part sheets."
  :type 'string)

(defvar dryfit-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?# "<" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?\" "\"" table)
    (modify-syntax-entry ?- "w" table)
    table))

(defvar dryfit-font-lock-keywords
  '(("^\\s-*\\(\\w+\\)" 1 font-lock-keyword-face)
    ("[{;]\\s-*\\(\\w+\\)" 1 font-lock-keyword-face)
    ("\\_<\\([0-9]+\\(?:\\.[0-9]+\\)?\\)\\s-*\\([a-zA-Z%]+[0-9]?\\)?" (1 font-lock-constant-face) (2 font-lock-type-face nil t))))

;;;###autoload
(define-derived-mode dryfit-mode prog-mode "Part sheet"
  "Major mode for part sheets."
  (setq-local comment-start "# ")
  (setq-local comment-start-skip "#+ *")
  (setq-local indent-tabs-mode nil)
  (setq-local font-lock-defaults '(dryfit-font-lock-keywords)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.\\(?:dryfit\\|notes\\)\\'" . dryfit-mode))

(defun dryfit-server (&rest _)
  "What starts the server."
  (list dryfit-program "language-server"))

(when (featurep 'eglot)
  (add-to-list 'eglot-server-programs '(dryfit-mode . dryfit-server))
  (add-hook 'dryfit-mode-hook #'eglot-ensure))

(provide 'dryfit-mode)
;;; dryfit-mode.el ends here
