//! Speed of the energy year: the sky of a site, weather, one year, and a hundred years on two cores.
