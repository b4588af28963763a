package org.cellherd.pack;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** Cell chemistries; what is known of each stands in the file that its constant names. */
public enum Chemistry implements Worded {
  /** Lithium iron phosphate. */
  LFP(IronPhosphate.SHEET, "lifepo4"),
  /** Nickel manganese cobalt oxide. */
  NMC(LayeredOxide.NMC, "ncm"),
  /** Nickel cobalt aluminium oxide. */
  NCA(LayeredOxide.NCA, "nca"),
  /** Lithium titanate. */
  LTO(Titanate.SHEET, "li4ti5o12"),
  /** Sodium-ion with hard carbon. */
  SODIUM_ION(SodiumIon.SHEET, "na-ion");

  private final CellSheet sheet;
  private final String otherWord;

  Chemistry(CellSheet sheet, String otherWord) {
    this.sheet = sheet;
    this.otherWord = otherWord;
  }

  /** All that is known beforehand. */
  public CellSheet sheet() {
    return sheet;
  }

  /** Where the voltage of a cell tells its charge, and where not. */
  public CellSheet.Plateau plateau() {
    return sheet.levels().plateau();
  }

  /** The usual limits of one cell. */
  public CellLimits limits() {
    return sheet.levels().limits();
  }

  /** Highest usual charge voltage of one cell, mV. */
  public int chargeMv() {
    return sheet.levels().chargeMv();
  }

  /** A resting cell about half full, least and most mV. */
  public List<Integer> storedMv() {
    return sheet.levels().storedMv();
  }

  /** Coldest cell that may be charged, degC. */
  public int chargeFloorC() {
    return sheet.byTemperature().chargeFloorC();
  }

  /** Coldest cell that may be used at all, degC. */
  public int useFloorC() {
    return sheet.byTemperature().useFloorC();
  }

  /** The chemistry of a file's word, or of what the trade writes for it, in any case; or empty. */
  public static Optional<Chemistry> ofWord(String word) {
    String lower = word.toLowerCase(Locale.ROOT);
    return Worded.find(values(), lower)
        .or(() -> Arrays.stream(values()).filter(c -> c.otherWord.equals(lower)).findFirst());
  }
}
