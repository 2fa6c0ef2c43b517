// Package plans runs a homestead as it would be with some of its values set
// otherwise.
//
// A [Plan] is a name and settings, as --set takes them. [Base.Try] reads the
// site's folder with them, checked as the folder is, prepares it ([series], which
// shares what the settings leave alone) and runs every year. [Catalogue] lists
// single changes that a homesteader could make; [Improve] tries them all, ranks
// them by the dark hours that they save, and takes the next steps in order,
// each chosen after the last. [Compare] lays plans side by side over the same
// years.
//
// Hours dark are hours with unmet demand. Energies are Wh, money is in the
// site's own currency.
//
// # Not modelled
//
// What a change costs in comfort, whether the ground allows it, and what is
// sold nearby. A change without a price in the site's costs is ranked without.
package plans
