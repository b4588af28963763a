package org.cellherd.report;

/** The title of a report. */
final class Titles {

  private Titles() {}

  static String of(ReportInput input) {
    return input.plan().name()
        + ", "
        + input.made().span(input.tracks().fromMs(), input.tracks().toMs());
  }

  /** The pack in one line. */
  static String pack(ReportInput input) {
    return Arrangement.of(input.plan());
  }
}
