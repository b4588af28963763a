package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.PlainText;
import org.cellherd.toml.Suggestion;
import picocli.CommandLine;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.UnmatchedArgumentException;

/** Says of a word on the command line that nothing knows it, and which one was probably meant. */
final class UnknownWord {

  private UnknownWord() {}

  /** One line. */
  static String text(UnmatchedArgumentException thrown) {
    CommandLine where = thrown.getCommandLine();
    CommandSpec verb = where.getCommandSpec();
    String word = thrown.getUnmatched().isEmpty() ? "" : thrown.getUnmatched().get(0);
    String shown = PlainText.marked(word);
    if (word.equals("--json") && verb.parent() != null) {
      return verb.qualifiedName()
          + " takes no --json: it makes no answer for scripts; those that answer a question, such"
          + " as \"cellherd balance\" and \"cellherd alerts\", do";
    }
    if (word.startsWith("-")) {
      List<String> options = new ArrayList<>(verb.optionsMap().keySet());
      return "unknown option " + shown + of(verb) + Suggestion.phrase(word, options);
    }
    if (where.getSubcommands().isEmpty()) {
      return verb.qualifiedName() + ": unexpected argument \"" + shown + "\"";
    }
    return "unknown verb "
        + shown
        + of(verb)
        + Suggestion.phrase(word, where.getSubcommands().keySet());
  }

  private static String of(CommandSpec verb) {
    return verb.parent() == null ? "" : " of " + verb.name();
  }
}
