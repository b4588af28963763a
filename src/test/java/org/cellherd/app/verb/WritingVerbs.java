package org.cellherd.app.verb;

import java.util.List;
import java.util.stream.Stream;

/** Lines of every verb that writes a file over one that is there, {@code OUT} in its place. */
final class WritingVerbs {

  private static final String LOG = "--db ${f}/night.db --plan ${f}/night.toml ";

  /** Those that need a log and a list of cells alone. */
  static final List<String> OF_A_LOG =
      List.of(
          "export " + LOG + "OUT.csv",
          "export " + LOG + "--decimal-comma OUT.csv",
          "report " + LOG + "OUT.html",
          "report " + LOG + "OUT.txt",
          "report " + LOG + "OUT.svg",
          "report " + LOG + "OUT.png",
          "label " + LOG + "OUT.pdf",
          "label " + LOG + "OUT.svg",
          "label " + LOG + "OUT.png",
          "setpoints " + LOG + "OUT.pdf",
          "setpoints " + LOG + "OUT.html",
          "capacity " + LOG + "--plot OUT.svg",
          "compare ${f}/night.db --plan ${f}/night.toml --plot OUT.svg",
          "compare ${f}/night.db --plan ${f}/night.toml --html OUT.html",
          "match ${f}/cells.csv --series 2 --parallel 1 --doubtful --picture OUT.svg");

  /** All. */
  static final List<String> OVERWRITES =
      Stream.concat(OF_A_LOG.stream(), Stream.of("fleet --store ${centre} --html OUT.html"))
          .toList();

  private WritingVerbs() {}
}
