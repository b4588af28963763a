package org.cellherd.pack;

import java.util.List;

/** What every reader is told, whatever the numbers say. */
public final class Cautions {

  /** In full, one sentence or two each. */
  public static final List<String> LIST =
      List.of(
          "Lithium cells store enough energy to burn, and used cells have an unknown history.",
          "Only trained people with the right protective equipment should open or build packs;"
              + " follow the cell maker's sheet, local codes and licensed practice.",
          "cellherd observes; it does not protect. Board, fuse and charger must do their work"
              + " without it.",
          "Do not leave a first charge unattended because a program is watching.",
          "Damaged, swollen, punctured, wet or deeply discharged cells are not reused.");

  /** In one line, for the start of what runs. */
  public static final String LINE =
      "cellherd observes, it does not protect: board, fuse and charger must hold without it. "
          + "Do not leave a first charge alone because a program is watching.";

  /** For a label. */
  public static final String SHORT =
      "Lithium cells can burn. Open only with training and protective equipment."
          + " Charge within the limits above.";

  private Cautions() {}
}
