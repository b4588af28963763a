package org.cellherd;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static java.util.Map.entry;

import com.tngtech.archunit.core.domain.Dependency;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchCondition;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.lang.ConditionEvents;
import com.tngtech.archunit.lang.SimpleConditionEvent;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** The import table of DEVELOPERS.md, checked. */
@AnalyzeClasses(packages = "org.cellherd", importOptions = ImportOption.DoNotIncludeTests.class)
class PackageRulesTest {

  private static final String ROOT = "org.cellherd.";

  private static final Map<String, Set<String>> MAY_IMPORT =
      Map.ofEntries(
          entry("pack", Set.of()),
          entry("toml", Set.of()),
          entry("json", Set.of("pack")),
          entry("protocol", Set.of("pack", "toml")),
          entry("board", Set.of("pack", "protocol", "json")),
          entry("analysis", Set.of("pack")),
          entry("alert", Set.of("pack", "analysis")),
          entry("store", Set.of("pack", "analysis", "alert")),
          entry("mqtt", Set.of("pack", "analysis", "alert", "json")),
          entry("forward", Set.of("pack", "alert", "store", "mqtt", "json")),
          entry("fleet", Set.of("pack", "analysis", "alert", "store", "mqtt", "json", "forward")),
          entry("pile", Set.of("pack", "toml", "analysis")),
          entry("report", Set.of("pack", "pile", "analysis", "alert", "json")),
          entry("page", Set.of("pack", "analysis", "alert", "report", "json")),
          entry("sim", Set.of("pack", "toml", "protocol", "board")),
          entry(
              "app",
              Set.of(
                  "pack",
                  "toml",
                  "json",
                  "protocol",
                  "board",
                  "analysis",
                  "alert",
                  "store",
                  "mqtt",
                  "forward",
                  "fleet",
                  "pile",
                  "report",
                  "page",
                  "sim")));

  /** Stands for all sub-packages that are not named: none of them knows another. */
  private static final String LEAVES = "*";

  /** The package itself, without its sub-packages. */
  private static final String ITSELF = "";

  /**
   * The layers inside a package, lowest first: each may import those before it, so that there are
   * no cycles. A name takes in what lies below it, unless that is named, too.
   */
  private static final Map<String, List<String>> LAYERS =
      Map.ofEntries(
          entry("alert", List.of(ITSELF, "setting", "state", "input", "rule", LEAVES, "engine")),
          entry(
              "analysis",
              List.of(
                  "state",
                  ITSELF,
                  "result",
                  "trend",
                  "cell",
                  "moment",
                  "flow",
                  "fold",
                  "plan",
                  "estimate",
                  LEAVES,
                  "engine")),
          entry("app", List.of(ITSELF, "config", "logged", "command", LEAVES, "daemon", "verb")),
          entry("fleet", List.of(ITSELF, LEAVES)),
          entry("forward", List.of("wire", ITSELF)),
          entry("mqtt", List.of("link", LEAVES, ITSELF)),
          entry("protocol", List.of(ITSELF, "checksum", "frame", "modbus", "spec", LEAVES)),
          entry("report", List.of("scene", "plot", ITSELF, LEAVES)),
          entry("store", List.of("codec", "sql", ITSELF)));

  /**
   * Sub-packages that only their own package enters. Their types are public because Java knows no
   * walls around a package with its sub-packages; to the other packages they are not there.
   */
  private static final Set<String> CLOSED =
      Set.of(
          "alert.input",
          "analysis.ageing",
          "analysis.capacity",
          "analysis.charge",
          "analysis.energy",
          "analysis.estimate",
          "analysis.resistance",
          "analysis.rest",
          "app",
          "protocol.checksum",
          "protocol.frame",
          "protocol.sunspec");

  @ArchTest
  static final ArchRule closedInside =
      classes()
          .that()
          .resideOutsideOfPackage("org.cellherd")
          .should(stayOutOfWhatIsClosed())
          .because("a type is public across walls only where another package needs it");

  @ArchTest
  static final ArchRule layersInside =
      classes().that().resideOutsideOfPackage("org.cellherd").should(keepToTheirLayers());

  @ArchTest
  static final ArchRule importTable =
      classes().that().resideOutsideOfPackage("org.cellherd").should(obeyTheImportTable());

  @ArchTest
  static final ArchRule coreDoesNoInputOrOutput =
      noClasses()
          .that()
          .resideInAnyPackage(
              ROOT + "pack..", ROOT + "pile..", ROOT + "analysis..", ROOT + "alert..")
          .should()
          .dependOnClassesThat()
          .resideInAnyPackage(
              "java.io..", "java.nio.file..", "java.net..", "java.sql..", "java.util.concurrent..");

  @ArchTest
  static final ArchRule sqlStaysInStoreAndFleet =
      noClasses()
          .that()
          .resideOutsideOfPackages(ROOT + "store..", ROOT + "fleet..")
          .should()
          .dependOnClassesThat()
          .resideInAPackage("java.sql..");

  @ArchTest static final ArchRule postgresqlStaysInFleet = fence("org.postgresql..", "fleet");
  @ArchTest static final ArchRule serialStaysInBoard = fence("com.fazecast..", "board");
  @ArchTest static final ArchRule mqttClientStaysInMqtt = fence("org.eclipse.paho..", "mqtt");
  @ArchTest static final ArchRule tomlStaysInToml = fence("org.tomlj..", "toml");
  @ArchTest static final ArchRule jsonStaysInJson = fence("com.fasterxml..", "json");
  @ArchTest static final ArchRule commandLineStaysInApp = fence("picocli..", "app");
  @ArchTest static final ArchRule pdfStaysInReport = fence("org.apache.pdfbox..", "report");
  @ArchTest static final ArchRule qrStaysInReport = fence("io.nayuki..", "report");

  @ArchTest
  static final ArchRule timeComesFromTheClock =
      noClasses()
          .that()
          .resideOutsideOfPackage(ROOT + "app..")
          .should()
          .callMethod(Instant.class, "now")
          .orShould()
          .callMethod(Clock.class, "systemUTC")
          .orShould()
          .callMethod(System.class, "currentTimeMillis")
          .orShould()
          .callMethod(System.class, "nanoTime");

  private static ArchRule fence(String library, String owner) {
    return noClasses()
        .that()
        .resideOutsideOfPackage(ROOT + owner + "..")
        .should()
        .dependOnClassesThat()
        .resideInAPackage(library);
  }

  private static ArchCondition<JavaClass> obeyTheImportTable() {
    return new ArchCondition<>("obey the import table") {
      @Override
      public void check(JavaClass origin, ConditionEvents events) {
        String from = topPackage(origin);
        if (!MAY_IMPORT.containsKey(from)) {
          events.add(SimpleConditionEvent.violated(origin, from + " is not in the import table"));
          return;
        }
        for (Dependency dependency : origin.getDirectDependenciesFromSelf()) {
          JavaClass target = dependency.getTargetClass();
          if (!target.getPackageName().startsWith(ROOT)) {
            continue;
          }
          String to = topPackage(target);
          if (!to.equals(from) && !MAY_IMPORT.get(from).contains(to)) {
            events.add(SimpleConditionEvent.violated(origin, dependency.getDescription()));
          }
        }
      }
    };
  }

  private static ArchCondition<JavaClass> stayOutOfWhatIsClosed() {
    return new ArchCondition<>("stay out of closed sub-packages of others") {
      @Override
      public void check(JavaClass origin, ConditionEvents events) {
        for (Dependency dependency : origin.getDirectDependenciesFromSelf()) {
          JavaClass target = dependency.getTargetClass();
          if (target.getPackageName().startsWith(ROOT)
              && !topPackage(target).equals(topPackage(origin))
              && isClosed(target.getPackageName().substring(ROOT.length()))) {
            events.add(SimpleConditionEvent.violated(origin, dependency.getDescription()));
          }
        }
      }
    };
  }

  private static boolean isClosed(String name) {
    return CLOSED.stream().anyMatch(c -> name.equals(c) || name.startsWith(c + "."));
  }

  private static ArchCondition<JavaClass> keepToTheirLayers() {
    return new ArchCondition<>("import only lower layers of their own package") {
      @Override
      public void check(JavaClass origin, ConditionEvents events) {
        String top = topPackage(origin);
        List<String> layers = LAYERS.getOrDefault(top, List.of());
        String from = below(top, origin, layers);
        for (Dependency dependency : origin.getDirectDependenciesFromSelf()) {
          JavaClass target = dependency.getTargetClass();
          if (layers.isEmpty()
              || !target.getPackageName().startsWith(ROOT)
              || !topPackage(target).equals(top)) {
            continue;
          }
          String to = below(top, target, layers);
          if (!to.equals(from) && rank(layers, to) >= rank(layers, from)) {
            events.add(SimpleConditionEvent.violated(origin, dependency.getDescription()));
          }
        }
      }
    };
  }

  /** The layer of a type, or the leaf in which it lies. */
  private static String below(String top, JavaClass type, List<String> layers) {
    String name = type.getPackageName().substring((ROOT + top).length());
    String rest = name.isEmpty() ? ITSELF : name.substring(1);
    for (String part = rest; part.contains("."); part = part.substring(0, part.lastIndexOf('.'))) {
      if (layers.contains(part)) {
        return part;
      }
    }
    int dot = rest.indexOf('.');
    return dot < 0 ? rest : rest.substring(0, dot);
  }

  private static int rank(List<String> layers, String name) {
    return layers.indexOf(layers.contains(name) ? name : LEAVES);
  }

  private static String topPackage(JavaClass type) {
    String rest = type.getPackageName().substring(ROOT.length());
    int dot = rest.indexOf('.');
    return dot < 0 ? rest : rest.substring(0, dot);
  }
}
